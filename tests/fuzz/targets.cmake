# Fuzz targets: with BLANKWRIGHT_FUZZ linked with libFuzzer, for `tests/fuzz/run`; else each with
# what replays its corpus, as a test.
set(fuzz ${CMAKE_CURRENT_LIST_DIR})
add_library(fuzz_helpers OBJECT ${fuzz}/workshop.c ${fuzz}/telling.c ${fuzz}/onwards.c)
target_link_libraries(fuzz_helpers PRIVATE test_ground)

# fuzz_target(NAME SOURCE [FILE]): FILE is the input file of a reader's target.
function(fuzz_target name source)
  add_executable(fuzz_${name} ${fuzz}/${source} $<TARGET_OBJECTS:fuzz_helpers>)
  target_link_libraries(fuzz_${name} PRIVATE test_ground blankwright_cli)
  if(ARGN)
    target_compile_definitions(fuzz_${name} PRIVATE FUZZED_FILE="${ARGN}")
  endif()
  if(BLANKWRIGHT_FUZZ)
    target_link_options(fuzz_${name} PRIVATE -fsanitize=fuzzer)
  else()
    target_sources(fuzz_${name} PRIVATE ${fuzz}/replay.c)
    add_test(NAME fuzz/${name} COMMAND fuzz_${name} ${fuzz}/corpus/${name})
  endif()
endfunction()

foreach(reader shop parts rack yard flaws clamps cutters steps bought money)
  fuzz_target(${reader} reader.c ${reader}.csv)
endforeach()
fuzz_target(length length.c)
fuzz_target(plan plan.c)
fuzz_target(options options.c)

# Always compiled, so that it does not go stale.
add_library(fuzz_plan_mutator OBJECT ${fuzz}/plan_mutator.c)
target_link_libraries(fuzz_plan_mutator PRIVATE test_ground)
if(BLANKWRIGHT_FUZZ)
  target_sources(fuzz_plan PRIVATE $<TARGET_OBJECTS:fuzz_plan_mutator>)
endif()
