# Line types, colours and frames of every plot. Colours: Okabe and Ito, "Color universal design",
# 2002, chosen so that people with any colour vision can tell them apart; dashes and markers tell
# the same in print without colour.
set encoding utf8
set minussign
set samples 200
set linetype 1 lc rgb '#0072B2' lw 1.8 dt solid pt 7 ps 0.7
set linetype 2 lc rgb '#D55E00' lw 1.8 dt (14,5) pt 5 ps 0.7
set linetype 3 lc rgb '#009E73' lw 1.8 dt (4,4) pt 9 ps 0.8
set linetype 4 lc rgb '#CC79A7' lw 1.8 dt (14,4,3,4) pt 13 ps 0.9
set linetype 5 lc rgb '#E69F00' lw 1.8 dt (20,4) pt 11 ps 0.8
set linetype 6 lc rgb '#56B4E9' lw 1.8 dt (8,3,2,3,2,3) pt 4 ps 0.8
set linetype 7 lc rgb '#000000' lw 1.8 dt (2,3) pt 8 ps 0.8
set linetype 8 lc rgb '#F0E442' lw 1.8 dt (10,3) pt 6 ps 0.8
set linetype cycle 8
set border 3 lc rgb '#404040' lw 0.8
set tics nomirror out scale 0.7 textcolor rgb '#202020'
set grid lc rgb '#D8D8D8' lw 0.6 dt solid
set key textcolor rgb '#202020'
