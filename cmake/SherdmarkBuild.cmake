# Flags and the two functions every folder uses to declare what it builds.
set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)

# Warnings are errors with the compilers that the project is written against; newer ones, and newer libraries that call
# something deprecated, only say so.
set(sherdmark_warnings_are_errors OFF)
if(SHERDMARK_WERROR AND CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  set(sherdmark_warnings_are_errors ON)
elseif(SHERDMARK_WERROR AND CMAKE_CXX_COMPILER_ID STREQUAL "Clang" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 15)
  set(sherdmark_warnings_are_errors ON)
endif()

add_library(sherdmark_warnings INTERFACE)
target_compile_options(sherdmark_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wshadow
  # GCC 12 reports a false -Wrestrict inside std::string (GCC bug 105651).
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>
  # With precompiled headers it inlines otherwise, and reports more of the kind; builds without them keep the warnings.
  "$<$<AND:$<CXX_COMPILER_ID:GNU>,$<BOOL:${SHERDMARK_PRECOMPILE}>>:-Wno-stringop-overflow;-Wno-stringop-overread;-Wno-array-bounds;-Wno-maybe-uninitialized>"
  $<$<BOOL:${sherdmark_warnings_are_errors}>:-Werror>)

if(SHERDMARK_SANITIZE)
  add_compile_options(-fsanitize=${SHERDMARK_SANITIZE} -fno-omit-frame-pointer -fno-sanitize-recover=all)
  add_link_options(-fsanitize=${SHERDMARK_SANITIZE})
  # g++ 12 sees variants that are not set where the sanitizers' own code stands between.
  add_compile_options($<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>)
endif()
if(SHERDMARK_FUZZ)
  add_compile_options(-fsanitize=fuzzer-no-link)
endif()

# sherdmark_precompile(TARGET [AS OTHER] HEADERS header …): a third of the time of most files goes into reading the same
# few headers. OTHER is compiled by the same flags, with no definition that TARGET lacks, and has read the same headers:
# they are read once for both. A file includes what it uses all the same: builds with ccache, by clang-tidy and of
# packages read no precompiled header.
function(sherdmark_precompile target)
  cmake_parse_arguments(arg "" "AS" "HEADERS" ${ARGN})
  if(NOT SHERDMARK_PRECOMPILE)
    return()
  endif()
  if(arg_AS AND NOT arg_AS STREQUAL target)
    target_precompile_headers(${target} REUSE_FROM ${arg_AS})
    return()
  endif()
  list(TRANSFORM arg_HEADERS REPLACE "(.+)" "<\\1>")
  target_precompile_headers(${target} PRIVATE ${arg_HEADERS})
endfunction()

set(sherdmark_layer_headers
  algorithm array chrono filesystem functional map memory optional set span string string_view unordered_map variant vector)

# sherdmark_layer(NAME SOURCES a.cpp … USES lower layers … THIRD_PARTY targets …)
# One static library a layer. USES names layers nearer the ground; tests/architecture checks the includes.
function(sherdmark_layer name)
  cmake_parse_arguments(arg "" "" "SOURCES;USES;THIRD_PARTY" ${ARGN})
  set(target sherdmark_${name})
  add_library(${target} STATIC ${arg_SOURCES})
  add_library(sherdmark::${name} ALIAS ${target})
  set_target_properties(${target} PROPERTIES EXPORT_NAME ${name})
  target_compile_features(${target} PUBLIC cxx_std_20)
  target_include_directories(${target}
    PUBLIC $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}/lib/include> $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}>
    PRIVATE ${PROJECT_SOURCE_DIR}/lib)
  target_link_libraries(${target} PRIVATE $<BUILD_INTERFACE:sherdmark_warnings> ${arg_THIRD_PARTY})
  foreach(layer IN LISTS arg_USES)
    target_link_libraries(${target} PUBLIC sherdmark_${layer})
  endforeach()
  if("fmt::fmt" IN_LIST arg_THIRD_PARTY)
    sherdmark_precompile(${target} AS sherdmark_layer_headers)
  else()
    sherdmark_precompile(${target} HEADERS ${sherdmark_layer_headers})
  endif()
  set_property(GLOBAL APPEND PROPERTY SHERDMARK_LAYERS ${target})
endfunction()

# sherdmark_late_library(LAYER FILE MACRO): a shared library that is not linked but opened when it is first needed
# (base/late_library.h). MACRO is its name as linking would have kept it.
function(sherdmark_late_library layer file macro)
  file(REAL_PATH ${file} file)
  execute_process(COMMAND ${CMAKE_READELF} -d ${file} OUTPUT_VARIABLE dynamic COMMAND_ERROR_IS_FATAL ANY)
  if(NOT dynamic MATCHES "SONAME[^[]*\\[([^]]+)\\]")
    message(FATAL_ERROR "${file} has no SONAME: install the shared library, not only the static one.")
  endif()
  target_compile_definitions(sherdmark_${layer} PRIVATE ${macro}="${CMAKE_MATCH_1}")
  set_property(GLOBAL APPEND PROPERTY SHERDMARK_LATE_LIBRARIES ${file})
endfunction()

# sherdmark_test(NAME SOURCES a_test.cpp … USES layers … [LIBRARIES …] [PRECOMPILE headers of its own]): one GoogleTest
# program, discovered test by test.
function(sherdmark_test name)
  cmake_parse_arguments(arg "" "" "SOURCES;USES;LIBRARIES;PRECOMPILE" ${ARGN})
  set(target ${name}_test)
  add_executable(${target} ${arg_SOURCES})
  target_include_directories(${target} PRIVATE ${PROJECT_SOURCE_DIR}/lib ${PROJECT_SOURCE_DIR}/tests)
  target_link_libraries(${target} PRIVATE sherdmark_warnings sherdmark_test_support GTest::gtest_main ${arg_LIBRARIES})
  # What is tested is optimised; the tests' own code compiles a third faster without.
  target_compile_options(${target} PRIVATE $<$<CONFIG:Release>:-O1>)
  foreach(layer IN LISTS arg_USES)
    target_link_libraries(${target} PRIVATE sherdmark_${layer})
  endforeach()
  set(headers gtest/gtest.h algorithm array filesystem fstream functional map optional set sstream string variant vector)
  if(arg_PRECOMPILE)
    sherdmark_precompile(${target} HEADERS ${headers} ${arg_PRECOMPILE})
  else()
    sherdmark_precompile(${target} AS base_test HEADERS ${headers})
  endif()
  gtest_discover_tests(${target} TEST_PREFIX "${name}." DISCOVERY_TIMEOUT 60 PROPERTIES TIMEOUT 600)
endfunction()
