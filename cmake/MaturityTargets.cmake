# How the folders of libmaturity become one library, and their tests one program each.
set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE Release)
endif()
# Named here, so that a distribution's own default flags do not change results or timings.
set(CMAKE_CXX_FLAGS_RELEASE "-O2 -DNDEBUG")

include(MaturityDependencies)

add_library(maturity_warnings INTERFACE)
target_compile_options(maturity_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wold-style-cast
  -Wcast-qual -Wnon-virtual-dtor -Woverloaded-virtual -Werror)
# Same input, same result to the last bit: no contraction into fused multiply-add.
target_compile_options(maturity_warnings INTERFACE -ffp-contract=off)

if(MATURITY_SANITIZE)
  add_compile_options(-fsanitize=${MATURITY_SANITIZE} -fno-sanitize-recover=all
                      -fno-omit-frame-pointer)
  add_link_options(-fsanitize=${MATURITY_SANITIZE})
endif()

# Which lines the tests run (gcov). Simulations run as few rounds as under a sanitizer.
if(MATURITY_COVERAGE)
  add_compile_options(--coverage -fprofile-update=prefer-atomic)
  add_compile_definitions(MATURITY_FEWER_ROUNDS)
  add_link_options(--coverage)
endif()

# With CMAKE_UNITY_BUILD (sanitizers, clang-tidy) the files of a target are compiled as one, three
# times faster. A target whose files use one name for two things is listed in MATURITY_APART.
set(CMAKE_UNITY_BUILD_BATCH_SIZE 0)
function(maturity_apart target)
  if(target IN_LIST MATURITY_APART)
    set_target_properties(${target} PROPERTIES UNITY_BUILD OFF)
  endif()
endfunction()

function(maturity_wanted folder result)
  if(EXISTS "${CMAKE_SOURCE_DIR}/libmaturity/${folder}/CMakeLists.txt"
     AND (NOT MATURITY_ONLY OR folder IN_LIST MATURITY_ONLY))
    set(${result} TRUE PARENT_SCOPE)
  else()
    set(${result} FALSE PARENT_SCOPE)
  endif()
endfunction()

# maturity_folder(name SOURCES ... DEPENDS earlier folders LIBS imported targets)
function(maturity_folder folder)
  cmake_parse_arguments(ARG "" "" "SOURCES;DEPENDS;LIBS" ${ARGN})
  set(target maturity_${folder})
  add_library(${target} OBJECT ${ARG_SOURCES})
  target_include_directories(${target} PUBLIC
    "$<BUILD_INTERFACE:${CMAKE_SOURCE_DIR}>")
  target_link_libraries(${target} PUBLIC Eigen3::Eigen PRIVATE maturity_warnings ${ARG_LIBS})
  foreach(dependency IN LISTS ARG_DEPENDS)
    target_link_libraries(${target} PUBLIC maturity_${dependency})
  endforeach()
  maturity_apart(${target})
  set_property(GLOBAL APPEND PROPERTY MATURITY_LIBS ${ARG_LIBS})
endfunction()

function(maturity_library)
  set(objects)
  foreach(folder IN LISTS ARGN)
    maturity_wanted(${folder} wanted)
    if(wanted)
      add_subdirectory(libmaturity/${folder})
      list(APPEND objects $<TARGET_OBJECTS:maturity_${folder}>)
    endif()
  endforeach()
  add_library(maturity ${objects})
  add_library(maturity::maturity ALIAS maturity)
  target_include_directories(maturity PUBLIC
    "$<BUILD_INTERFACE:${CMAKE_SOURCE_DIR}>" "$<INSTALL_INTERFACE:include>")
  get_property(libs GLOBAL PROPERTY MATURITY_LIBS)
  list(REMOVE_DUPLICATES libs)
  target_link_libraries(maturity PUBLIC Eigen3::Eigen PRIVATE ${libs})
  set_target_properties(maturity PROPERTIES LINKER_LANGUAGE CXX)
endfunction()

# maturity_test(name SOURCES ...): one GoogleTest program, found by CTest test by test. Under a
# sanitizer, where to start a program and to measure the sample photos is slow, CTest runs it whole;
# so it does where lines are counted, since each program writes what it counted.
function(maturity_test name)
  cmake_parse_arguments(ARG "" "" "SOURCES;LIBS" ${ARGN})
  set(target test_${name})
  add_executable(${target} ${ARG_SOURCES})
  target_link_libraries(${target} PRIVATE maturity maturity_warnings GTest::gtest_main GTest::gmock
                                          ${ARG_LIBS})
  target_compile_definitions(${target} PRIVATE
    MATURITY_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
  maturity_apart(${target})
  if(MATURITY_SANITIZE OR MATURITY_COVERAGE)
    add_test(NAME ${name} COMMAND ${target})
    set_tests_properties(${name} PROPERTIES TIMEOUT 1200)
  else()
    include(GoogleTest)
    gtest_discover_tests(${target} DISCOVERY_TIMEOUT 120 PROPERTIES TIMEOUT 600)
  endif()
endfunction()

function(maturity_tests)
  foreach(folder IN LISTS ARGN)
    maturity_wanted(${folder} wanted)
    if(wanted AND EXISTS "${CMAKE_SOURCE_DIR}/tests/${folder}/CMakeLists.txt")
      add_subdirectory(tests/${folder})
    endif()
  endforeach()
  if(NOT MATURITY_ONLY AND EXISTS "${CMAKE_SOURCE_DIR}/tests/end_to_end/CMakeLists.txt")
    add_subdirectory(tests/end_to_end)
  endif()
endfunction()
