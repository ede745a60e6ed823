# Packages for people without a compiler: `cpack -G DEB` makes four .deb files (tool, library, development, docs), `cpack -G TGZ`
# a tarball that runs from any folder. What they need at run time is found by dpkg-shlibdeps, but for what is only opened
# when it is needed; fonts are the ones of tools/packages/build.txt.
set(CPACK_PACKAGE_NAME sherdmark)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_CONTACT "The Sherdmark authors <sherdmark@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "labels for archaeological artifacts, bags and tags")
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGE_DIRECTORY ${PROJECT_BINARY_DIR}/packages)
set(CPACK_COMPONENTS_ALL tool library development docs)
set(CPACK_VERBATIM_VARIABLES ON)

file(STRINGS ${PROJECT_SOURCE_DIR}/tools/packages/build.txt SHERDMARK_FONTS REGEX "^font")
# The packages of what is only opened when it is needed, where there is dpkg to ask.
get_property(late_libraries GLOBAL PROPERTY SHERDMARK_LATE_LIBRARIES)
find_program(SHERDMARK_DPKG dpkg)
set(needs ${SHERDMARK_FONTS} poppler-utils)
if(SHERDMARK_DPKG)
  foreach(library IN LISTS late_libraries)
    cmake_path(GET library FILENAME name)
    execute_process(COMMAND ${SHERDMARK_DPKG} -S "*/${name}" OUTPUT_VARIABLE owner ERROR_QUIET)
    if(owner MATCHES "^([^:]+):")
      list(APPEND needs ${CMAKE_MATCH_1})
    else()
      message(WARNING "No Debian package owns ${library}: packages made here will not depend on it, and what it is for "
                      "will not work where it is missing.")
    endif()
  endforeach()
elseif(late_libraries)
  message(STATUS "There is no dpkg to ask which packages hold ${late_libraries}: packages made here do not name them.")
endif()
list(REMOVE_DUPLICATES needs)
list(JOIN needs ", " needs)
# Headers of the development package name these; the static libraries need what they were built with.
file(STRINGS ${PROJECT_SOURCE_DIR}/tools/packages/build.txt development_needs REGEX "-dev$")
list(JOIN development_needs ", " development_needs)

set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_ENABLE_COMPONENT_DEPENDS OFF)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_TOOL_PACKAGE_NAME sherdmark)
set(CPACK_DEBIAN_TOOL_PACKAGE_DEPENDS "${needs}")
set(CPACK_DEBIAN_TOOL_PACKAGE_SUGGESTS "sherdmark-doc")
set(CPACK_COMPONENT_TOOL_DESCRIPTION
  "Keeps an archaeological artifact, its tag and its bag tied together:
prints their labels at true size, and proves from photographs or a
handheld scanner that they still agree. Works without a network.")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libsherdmark${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR})
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_DEPENDS "${needs}")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION "The library behind the tool sherdmark, for other programs.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libsherdmark-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
  "libsherdmark${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR} (= ${PROJECT_VERSION}), ${development_needs}")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "Headers, static libraries and the CMake package of the sherdmark library.")
set(CPACK_DEBIAN_DOCS_PACKAGE_NAME sherdmark-doc)
set(CPACK_DEBIAN_DOCS_PACKAGE_SECTION doc)
set(CPACK_DEBIAN_DOCS_PACKAGE_ARCHITECTURE all)
set(CPACK_DEBIAN_DOCS_PACKAGE_SHLIBDEPS OFF)
set(CPACK_COMPONENT_DOCS_DESCRIPTION "Documentation of sherdmark and its file formats, and sample house standards.")

# One tarball with everything, whatever the components.
set(CPACK_ARCHIVE_COMPONENT_INSTALL OFF)
include(CPack)
