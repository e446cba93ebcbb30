# Makefile - GNU make 4.3 or later, Debian 12. `make list` names the targets.
#
# Objects live in build/<config>, one folder for each set of flags. CFLAGS, CPPFLAGS and LDFLAGS are
# yours; ours are in SG_*. Variables worth setting: CC, CFLAGS, WERROR=1, BUILD, PREFIX, DESTDIR.

VERSION := 0.1.0

SHELL := /bin/sh
.SUFFIXES:
.DELETE_ON_ERROR:
.DEFAULT_GOAL := all
MAKEFLAGS += --no-builtin-rules --no-print-directory

# ---- where things go -----------------------------------------------------------------------------

PREFIX      ?= /usr/local
bindir      ?= $(PREFIX)/bin
libdir      ?= $(PREFIX)/lib
includedir  ?= $(PREFIX)/include
mandir      ?= $(PREFIX)/share/man
docdir      ?= $(PREFIX)/share/doc/stillground
pkgconfigdir ?= $(libdir)/pkgconfig
DESTDIR     ?=
INSTALL     ?= install

# ---- flags ---------------------------------------------------------------------------------------

ifeq ($(origin CC),default)
CC := gcc
endif
ifeq ($(origin AR),default)
AR := ar
endif
CLANG        ?= clang
CLANG_FORMAT ?= clang-format
CPPCHECK     ?= cppcheck
PKG_CONFIG   ?= pkg-config
PYTHON       ?= /usr/bin/python3
CFLAGS       ?=
CPPFLAGS     ?=
LDFLAGS      ?=
LDLIBS       ?=

SG_WARNINGS := -pedantic -Wall -Wextra -Wshadow -Wconversion -Wdouble-promotion -Wfloat-equal \
    -Wstrict-prototypes -Wmissing-prototypes -Wwrite-strings -Wvla -Wformat=2 -Wundef
# clang 14 takes the macro INFINITY for a float that grows; gcc makes this check without the noise.
ifneq ($(findstring clang,$(CC)),)
SG_WARNINGS := $(filter-out -Wdouble-promotion,$(SG_WARNINGS))
endif
SG_OPTIMISE ?= -O2 -g
SG_SANITIZE ?=
# No -ffast-math and no contraction: results must not depend on the compiler or its level.
SG_CFLAGS   := -std=c17 $(SG_OPTIMISE) $(SG_WARNINGS) -fno-common -ffp-contract=off -fopenmp \
    $(SG_SANITIZE)
ifeq ($(WERROR),1)
SG_CFLAGS   += -Werror
endif
SG_CPPFLAGS := -D_POSIX_C_SOURCE=200809L -DSG_VERSION='"$(VERSION)"' -Iinclude -Isrc
SG_LDFLAGS  := -fopenmp -Wl,--as-needed $(SG_SANITIZE)

# The libraries, as pkg-config knows them. Asked for after `deps`, not when this file is read.
MODULES := yaml-0.1 gdal proj gsl jansson fftw3 sndfile mseed

# One folder a flag set: the plain one is build/release, any other compiler or flag gets its own.
CONFIG ?= release
SG_FLAG_SET := $(CC)|$(CFLAGS)|$(CPPFLAGS)|$(LDFLAGS)|$(WERROR)|$(ROOMS)
ifneq ($(SG_FLAG_SET),gcc|||||)
SG_FLAG_HASH := $(firstword $(shell printf '%s' '$(subst ','\'',$(SG_FLAG_SET))' | cksum))
BUILD ?= build/$(CONFIG)-$(SG_FLAG_HASH)
endif
BUILD ?= build/$(CONFIG)
# Where the builds of other targets stand: beside the default one, or inside the folder you name.
BUILD_TOP := $(if $(filter file,$(origin BUILD)),build,$(BUILD))

# ---- what there is -------------------------------------------------------------------------------

ALL_ROOMS := base catalogue site vibration sound signal limits plan fit report
# ROOMS="base catalogue" builds the library from those rooms only, while others are torn up.
ROOMS ?=
LIB_ROOMS := $(or $(ROOMS),$(ALL_ROOMS))

LIB_SRC  := $(sort $(foreach room,$(LIB_ROOMS),$(wildcard src/$(room)/*.c src/$(room)/*/*.c)))
CMD_SRC  := $(sort $(wildcard src/commands/*.c))
MAIN_SRC := $(wildcard src/main.c)
TEST_SRC := $(sort $(wildcard tests/unit/test_*.c))
BENCH_SRC := $(sort $(wildcard tests/bench/bench_*.c))
FUZZ_SRC := $(sort $(wildcard tests/fuzz/fuzz_*.c))
HEADERS  := $(sort $(wildcard include/stillground/*.h include/stillground/*.def))

LIB_OBJ  := $(LIB_SRC:%.c=$(BUILD)/obj/%.o)
CMD_OBJ  := $(CMD_SRC:%.c=$(BUILD)/obj/%.o) $(MAIN_SRC:%.c=$(BUILD)/obj/%.o)
TEST_OBJ := $(TEST_SRC:%.c=$(BUILD)/obj/%.o)
TESTS    := $(TEST_SRC:tests/unit/%.c=$(BUILD)/tests/%)
BENCHES  := $(BENCH_SRC:tests/bench/%.c=$(BUILD)/bench/%)
FUZZERS  := $(FUZZ_SRC:tests/fuzz/%.c=$(BUILD)/fuzz/%)
LIBRARY  := $(BUILD)/libstillground.a
PROGRAM  := $(BUILD)/stillground
EMBEDDED := $(BUILD)/gen/embedded.h

SITE     ?= receptors/canal-wall/site.yaml
YARD = receptors/basin-yard.yaml
DEMO_DIR ?= build/demo

# ---- packages ------------------------------------------------------------------------------------

PACKAGES_build    := gcc make pkg-config libc6-dev libyaml-dev libgdal-dev libproj-dev libgsl-dev \
    libjansson-dev libfftw3-dev libsndfile1-dev libmseed-dev libcmocka-dev gnuplot-nox
PACKAGES_check    := python3 locales python3-numpy python3-scipy flac libmseed-doc \
    simutrans-pak64 openttd-opensfx sonic-pi-samples alsa-utils
PACKAGES_lint     := clang clang-format cppcheck libomp-dev
PACKAGES_valgrind := valgrind
PACKAGES_bench    := python3 python3-numpy python3-scipy
PACKAGES_fuzz     := clang libomp-dev

DEPS_build := $(BUILD)/deps/build

.PHONY: list
list: ## name the targets
	@awk -F ':.*## ' '/^[a-z][a-z-]*:.*## / { printf "  %-14s %s\n", $$1, $$2 }' Makefile

.PHONY: all
all: $(LIBRARY) $(PROGRAM) $(BUILD)/stillground.pc ## build the library and the program (default)

.PHONY: deps
deps: $(BUILD)/deps/build $(BUILD)/deps/check ## install the Debian packages that are missing

# A stamp for each list and BUILD folder: packages are looked at once, and when this file changes.
$(BUILD)/deps/%: Makefile tests/support/deps.sh
	@mkdir -p $(@D)
	@PKG_CONFIG='$(PKG_CONFIG)' MODULES='$(MODULES)' \
	    sh tests/support/deps.sh '$*' $(PACKAGES_$*)
	@touch $@
# One after the other, so that two apt-get never meet.
$(BUILD)/deps/check: | $(BUILD)/deps/build
$(BUILD)/deps/lint $(BUILD)/deps/valgrind $(BUILD)/deps/bench: | $(BUILD)/deps/check
$(BUILD)/deps/fuzz: | $(BUILD)/deps/lint

$(BUILD)/pkg.cflags: $(DEPS_build)
	@$(PKG_CONFIG) --print-errors --exists $(MODULES) cmocka
	@$(PKG_CONFIG) --cflags $(MODULES) cmocka | tr ' ' '\n' | \
	    sed -n -e '/^-I\/usr\/include\/[a-z0-9_]*-linux-gnu$$/d' -e 's/^-I/-isystem /p' >$@
$(BUILD)/pkg.libs: $(DEPS_build)
	@$(PKG_CONFIG) --libs $(MODULES) >$@

# ---- objects, library, program -------------------------------------------------------------------

# Rewritten only when the flags change; every object depends on it.
SG_FLAGS_NOW := $(CC) $(SG_CPPFLAGS) $(CPPFLAGS) $(SG_CFLAGS) $(CFLAGS) $(SG_LDFLAGS) $(LDFLAGS)
.PHONY: FORCE
FORCE:
$(BUILD)/flags: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' '$(subst ','\'',$(SG_FLAGS_NOW))' >$@.new
	@if cmp -s $@.new $@; then rm -f $@.new; else mv -f $@.new $@; fi

# argp and program_invocation_name are GNU; only the commands may use them.
$(BUILD)/obj/src/commands/%.o $(BUILD)/obj/src/main.o: SG_EXTRA := -D_GNU_SOURCE
$(BUILD)/obj/src/report/%.o: SG_EXTRA := -I$(BUILD)/gen
# No call of sqrt has to set errno there; the roots are the same, and loops over them become wide.
$(BUILD)/obj/src/sound/outdoor_field.o: SG_EXTRA := -fno-math-errno
$(BUILD)/obj/tests/%.o: SG_EXTRA := -Itests/support

$(LIB_OBJ) $(CMD_OBJ) $(TEST_OBJ): $(BUILD)/flags $(BUILD)/pkg.cflags | $(DEPS_build)
$(filter $(BUILD)/obj/src/report/%,$(LIB_OBJ)): $(EMBEDDED)

$(BUILD)/obj/%.o: %.c
	@mkdir -p $(@D)
	@echo "  CC    $<"
	@$(CC) $(SG_CPPFLAGS) $(SG_EXTRA) $(CPPFLAGS) @$(BUILD)/pkg.cflags $(SG_CFLAGS) $(CFLAGS) \
	    -MMD -MP -c -o $@ $<

# The report's style sheets, as C strings.
$(EMBEDDED): plots/style.gp plots/report.css plots/embed.awk
	@mkdir -p $(@D)
	@awk -f plots/embed.awk plots/style.gp plots/report.css >$@

# Made anew when a source file comes or goes, which no time stamp would show.
$(BUILD)/lib.list: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' $(LIB_OBJ) >$@.new
	@if cmp -s $@.new $@; then rm -f $@.new; else mv -f $@.new $@; fi
$(LIBRARY): $(LIB_OBJ) $(BUILD)/lib.list
	@echo "  AR    $@"
	@rm -f $@
	@$(AR) rcs $@ $(LIB_OBJ)

$(PROGRAM): $(CMD_OBJ) $(LIBRARY) $(BUILD)/pkg.libs $(BUILD)/flags
	@test -n '$(MAIN_SRC)' || { echo 'src/main.c is not there' >&2; exit 1; }
	@echo "  LINK  $@"
	@$(CC) $(SG_LDFLAGS) $(LDFLAGS) $(SG_CFLAGS) $(CFLAGS) -o $@ $(CMD_OBJ) $(LIBRARY) \
	    @$(BUILD)/pkg.libs $(LDLIBS) -lm

$(BUILD)/stillground.pc: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' 'prefix=$(PREFIX)' 'libdir=$(libdir)' 'includedir=$(includedir)' '' \
	    'Name: stillground' \
	    'Description: ground vibration and noise from installing piles, held against limits' \
	    'Version: $(VERSION)' 'Requires: $(MODULES)' \
	    'Libs: -L$${libdir} -lstillground -fopenmp -lm' 'Cflags: -I$${includedir}' >$@.new
	@if cmp -s $@.new $@; then rm -f $@.new; else mv -f $@.new $@; fi

# ---- tests ---------------------------------------------------------------------------------------

$(BUILD)/tests/%: $(BUILD)/obj/tests/unit/%.o $(LIBRARY) $(BUILD)/pkg.libs
	@mkdir -p $(@D)
	@echo "  LINK  $@"
	@$(CC) $(SG_LDFLAGS) $(LDFLAGS) $(SG_CFLAGS) $(CFLAGS) -o $@ $< $(LIBRARY) \
	    @$(BUILD)/pkg.libs -lcmocka $(LDLIBS) -lm

CHECK_SCRIPTS := $(sort $(wildcard tests/commands/*.sh))
CHECK_WRAP    ?=
CHECK_LINT    ?= yes
# What the scripts of tests/ are told.
CHECK_ENV      = STILLGROUND='$(abspath $(CHECK_PROGRAM))' CC='$(CC)' PYTHON='$(PYTHON)' \
    CHECK_WRAP='$(CHECK_WRAP)' CHECK_LINT='$(CHECK_LINT)' BUILD='$(BUILD)'
CHECK_PROGRAM ?= $(PROGRAM)

# Recordings that nobody here made, out of Debian packages.
REAL := build/real
$(REAL)/ready: tests/support/real_recordings.sh | $(BUILD)/deps/check
	@sh tests/support/real_recordings.sh $(REAL)
	@touch $@

# The source package that they come from is not on every mirror: not part of `check`.
.PHONY: seismograms
seismograms: $(PROGRAM) | $(BUILD)/deps/check ## measure the seismograms of a library's tests
	@[ -f $(REAL)/seismograms/ready ] || sh tests/support/seismograms.sh $(REAL)/seismograms/data
	@touch $(REAL)/seismograms/ready
	@$(PYTHON) tests/commands/recordings_scipy.py $(PROGRAM) $(REAL)/seismograms/data seismograms

.PHONY: check
check: $(REAL)/ready $(TESTS) all ## unit tests, command tests and the script lints
	@$(CHECK_ENV) sh tests/support/check.sh $(TESTS) $(CHECK_SCRIPTS)

.PHONY: check-unit
check-unit: $(REAL)/ready $(TESTS) ## unit tests only
	@CHECK_LINT=no CHECK_WRAP='$(CHECK_WRAP)' sh tests/support/check.sh $(TESTS)

# One unit test: make test-vibration
test-%: $(BUILD)/tests/test_% $(REAL)/ready
	$(CHECK_WRAP) $<

.PHONY: bless
bless: $(BUILD)/deps/check all ## take today's output of the cases as right; look at the diff
	@$(CHECK_ENV) SG_BLESS=1 sh tests/commands/cases.sh

.PHONY: check-headers
check-headers: ## every header compiles alone
	@CC='$(CC)' sh tests/lint/headers.sh

.PHONY: lint
lint: $(BUILD)/deps/lint $(DEPS_build) $(BUILD)/pkg.cflags $(EMBEDDED) ## every static check
	@status=0; CC='$(CC)' sh tests/support/lint.sh || status=1; \
	    $(MAKE) -k format-check lint-clang lint-cppcheck || status=1; exit $$status

FORMATTED := $(filter-out src/catalogue/%,$(LIB_SRC) $(sort $(wildcard src/*/*.h src/*/*/*.h))) \
    $(CMD_SRC) $(MAIN_SRC) $(sort $(wildcard include/stillground/*.h tests/*/*.c tests/*/*.h))
.PHONY: format-check
format-check: $(BUILD)/deps/lint ## layout as .clang-format says (the tables of src/catalogue aside)
	@$(CLANG_FORMAT) --dry-run --Werror $(FORMATTED)
.PHONY: format
format: $(BUILD)/deps/lint ## lay the sources out as .clang-format says
	@$(CLANG_FORMAT) -i $(FORMATTED)

LINT_SRC := $(LIB_SRC) $(CMD_SRC) $(MAIN_SRC) $(TEST_SRC) $(BENCH_SRC)
.PHONY: lint-clang
lint-clang: $(BUILD)/deps/lint $(BUILD)/pkg.cflags $(EMBEDDED)
	@echo '  clang -Werror over $(words $(LINT_SRC)) files'
	@status=0; for file in $(LINT_SRC); do \
	    case $$file in src/commands/*|src/main.c) extra=-D_GNU_SOURCE ;; \
	    *) extra= ;; esac; \
	    $(CLANG) -fsyntax-only $(SG_CPPFLAGS) $$extra -I$(BUILD)/gen -Itests/support \
	        @$(BUILD)/pkg.cflags $(filter-out -Wdouble-promotion,$(SG_CFLAGS)) \
	        -Werror $$file || status=1; \
	done; exit $$status

.PHONY: lint-cppcheck
lint-cppcheck: $(BUILD)/deps/lint $(EMBEDDED)
	@echo '  cppcheck'
	@$(CPPCHECK) --quiet --std=c11 --language=c --error-exitcode=1 --inline-suppr \
	    --enable=warning,portability,performance --suppressions-list=tests/lint/cppcheck.txt \
	    -D__GNUC__ -D_GNU_SOURCE -DSG_VERSION='"$(VERSION)"' -Iinclude -Isrc -I$(BUILD)/gen \
	    $(LIB_SRC) $(CMD_SRC) $(MAIN_SRC)

# ---- other builds of the same tests --------------------------------------------------------------

SANITIZE := -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
.PHONY: asan
asan: ## the tests under the address and undefined-behaviour sanitizers
	@$(MAKE) CONFIG=asan BUILD=$(BUILD_TOP)/asan SG_OPTIMISE='-O1 -g' \
	    SG_SANITIZE='$(SANITIZE)' CHECK_LINT=no check

.PHONY: valgrind
valgrind: $(BUILD)/deps/valgrind $(TESTS) all ## the tests under valgrind
	@mkdir -p $(BUILD)/valgrind
	@printf '#!/bin/sh\nexec %s "%s" "$$@"\n' '$(VALGRIND)' '$(abspath $(PROGRAM))' \
	    >$(BUILD)/valgrind/stillground
	@chmod +x $(BUILD)/valgrind/stillground
	@OMP_NUM_THREADS=1 $(MAKE) CHECK_WRAP='$(VALGRIND)' CHECK_LINT=no \
	    CHECK_PROGRAM='$(BUILD)/valgrind/stillground' check
VALGRIND := valgrind -q --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite \
    --suppressions=$(abspath tests/support/valgrind.supp)

.PHONY: coverage
coverage: ## line coverage of the tests, a room at a time
	@find $(BUILD_TOP)/coverage -name '*.gcda' -delete 2>/dev/null || true
	@$(MAKE) CONFIG=coverage BUILD=$(BUILD_TOP)/coverage SG_OPTIMISE='-O0 -g --coverage' \
	    CHECK_LINT=no check
	@BUILD='$(BUILD_TOP)/coverage' sh tests/support/coverage.sh $(LIB_SRC) $(CMD_SRC) $(MAIN_SRC)

$(BUILD)/bench/%: $(BUILD)/obj/tests/bench/%.o $(LIBRARY) $(BUILD)/pkg.libs
	@mkdir -p $(@D)
	@$(CC) $(SG_LDFLAGS) $(LDFLAGS) $(SG_CFLAGS) $(CFLAGS) -o $@ $< $(LIBRARY) \
	    @$(BUILD)/pkg.libs $(LDLIBS) -lm
$(BENCH_SRC:%.c=$(BUILD)/obj/%.o) $(FUZZ_SRC:%.c=$(BUILD)/obj/%.o): \
    $(BUILD)/flags $(BUILD)/pkg.cflags | $(DEPS_build)

.PHONY: bench
bench: $(BUILD)/deps/bench $(BENCHES) all ## speed of the kernels beside numpy, CPU time of a run
	@BUILD='$(BUILD)' PYTHON='$(PYTHON)' STILLGROUND='$(abspath $(PROGRAM))' SITE='$(SITE)' \
	    sh tests/bench/run.sh

# The example recordings are computed; the same program writes the same bytes.
$(BUILD)/make_recordings: tests/support/make_recordings.c $(BUILD)/pkg.cflags $(BUILD)/pkg.libs
	@mkdir -p $(@D)
	@$(CC) $(SG_CPPFLAGS) $(CPPFLAGS) @$(BUILD)/pkg.cflags $(SG_CFLAGS) $(CFLAGS) -o $@ $< \
	    $(SG_LDFLAGS) $(LDFLAGS) @$(BUILD)/pkg.libs $(LDLIBS) -lm
.PHONY: recordings
recordings: $(BUILD)/make_recordings ## compute the example recordings of measurements/ anew
	@$(BUILD)/make_recordings measurements

# Fuzzers need the library built by clang with its instrumentation.
FUZZ_SECONDS ?= 60
.PHONY: fuzz
fuzz: $(BUILD)/deps/fuzz ## feed the readers with made-up input (FUZZ_SECONDS=60 each)
	@$(MAKE) CC=$(CLANG) CONFIG=fuzz BUILD=$(BUILD_TOP)/fuzz SG_OPTIMISE='-O1 -g' \
	    SG_SANITIZE='-fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all' \
	    FUZZ_SECONDS='$(FUZZ_SECONDS)' run-fuzzers
$(BUILD)/fuzz/%: $(BUILD)/obj/tests/fuzz/%.o $(LIBRARY) $(BUILD)/pkg.libs
	@mkdir -p $(@D)
	@$(CC) $(SG_LDFLAGS) -fsanitize=fuzzer -o $@ $< $(LIBRARY) @$(BUILD)/pkg.libs -lm
.PHONY: run-fuzzers
run-fuzzers: $(FUZZERS)
	@BUILD='$(BUILD)' FUZZ_SECONDS='$(FUZZ_SECONDS)' sh tests/fuzz/run.sh $(FUZZERS)

# ---- demo ----------------------------------------------------------------------------------------

# Exit status 1 says that a limit is over, which is what the example is there to show.
run_demo = $(PROGRAM) $(1) || test $$? -eq 1

.PHONY: demo
demo: all ## work the example site out: methods compared, every receptor, a document
	@mkdir -p $(DEMO_DIR)
	@$(call run_demo,compare $(SITE))
	@echo
	@$(call run_demo,predict $(SITE))
	@$(call run_demo,report $(SITE) --output $(DEMO_DIR)/report.html)
	@$(call run_demo,report $(YARD) --output $(DEMO_DIR)/noise.html)
	@test -s $(DEMO_DIR)/report.html -a -s $(DEMO_DIR)/noise.html
	@echo
	@echo 'The document: $(DEMO_DIR)/report.html; noise by octave bands: $(DEMO_DIR)/noise.html'

# ---- install -------------------------------------------------------------------------------------

.PHONY: install
install: all ## install under PREFIX (DESTDIR in front)
	$(INSTALL) -d $(DESTDIR)$(bindir) $(DESTDIR)$(libdir) $(DESTDIR)$(pkgconfigdir) \
	    $(DESTDIR)$(includedir)/stillground $(DESTDIR)$(mandir)/man1 $(DESTDIR)$(docdir)
	$(INSTALL) -m 755 $(PROGRAM) $(DESTDIR)$(bindir)/stillground
	$(INSTALL) -m 644 $(LIBRARY) $(DESTDIR)$(libdir)/libstillground.a
	$(INSTALL) -m 644 $(HEADERS) $(DESTDIR)$(includedir)/stillground
	$(INSTALL) -m 644 $(BUILD)/stillground.pc $(DESTDIR)$(pkgconfigdir)/stillground.pc
	$(INSTALL) -m 644 src/commands/stillground.1 $(DESTDIR)$(mandir)/man1/stillground.1
	$(INSTALL) -m 644 README.md CHANGELOG.md LICENSE $(DESTDIR)$(docdir)

.PHONY: uninstall
uninstall: ## remove what install put there
	rm -f $(DESTDIR)$(bindir)/stillground $(DESTDIR)$(libdir)/libstillground.a \
	    $(DESTDIR)$(pkgconfigdir)/stillground.pc $(DESTDIR)$(mandir)/man1/stillground.1
	rm -f $(addprefix $(DESTDIR)$(includedir)/stillground/,$(notdir $(HEADERS)))
	rm -f $(addprefix $(DESTDIR)$(docdir)/,README.md CHANGELOG.md LICENSE)
	rmdir $(DESTDIR)$(includedir)/stillground $(DESTDIR)$(docdir) 2>/dev/null || true

.PHONY: clean
clean: ## remove everything that was built
	rm -rf build
	$(if $(filter build build/%,$(BUILD)),,rm -rf '$(BUILD)')

# What a variable holds: make print-LIB_SRC
print-%:
	@printf '%s\n' '$($*)'

-include $(shell find $(BUILD)/obj -name '*.d' 2>/dev/null)
