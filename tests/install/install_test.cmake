# Run by ctest; any step that fails fails the test.
function(step)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE result OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT result EQUAL 0)
    message(FATAL_ERROR "failed (${result}): ${ARGN}\n${out}\n${err}")
  endif()
  set(step_output "${out}" PARENT_SCOPE)
endfunction()

file(REMOVE_RECURSE ${SCRATCH})
step(${CMAKE_COMMAND} --install ${BUILD} --prefix ${SCRATCH}/prefix)

# A prefix that cannot be found must be an error, or the check below would prove nothing.
execute_process(COMMAND ${CMAKE_COMMAND} -S ${SOURCE} -B ${SCRATCH}/without -G ${GENERATOR}
  -DCMAKE_CXX_COMPILER=${COMPILER} -DCMAKE_PREFIX_PATH=${SCRATCH}/nowhere
  RESULT_VARIABLE without OUTPUT_QUIET ERROR_QUIET)
if(without EQUAL 0)
  message(FATAL_ERROR "the consumer configured without the installation")
endif()

step(${CMAKE_COMMAND} -S ${SOURCE} -B ${SCRATCH}/build -G ${GENERATOR} -DCMAKE_CXX_COMPILER=${COMPILER}
  -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_FLAGS=${FLAGS} -DCMAKE_PREFIX_PATH=${SCRATCH}/prefix)
step(${CMAKE_COMMAND} --build ${SCRATCH}/build)
step(${SCRATCH}/build/consumer)
if(NOT step_output STREQUAL "16WC5 agree ours\n")
  message(FATAL_ERROR "the consumer said: ${step_output}")
endif()

step(${SCRATCH}/prefix/bin/sherdmark --version)
if(NOT step_output MATCHES "${VERSION}")
  message(FATAL_ERROR "the installed tool said: ${step_output}")
endif()
