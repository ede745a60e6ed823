# What an installation holds: the tool with its manual page and completions; one shared library of all layers; one static
# library a layer, the public headers and a package that find_package(sherdmark) finds; the docs. `sherdmark::sherdmark`
# stands for all layers, linked statically, `sherdmark::shared` for the same as one shared library. Fonts come from the
# distribution.
get_property(layers GLOBAL PROPERTY SHERDMARK_LAYERS)

add_library(sherdmark_all INTERFACE)
add_library(sherdmark::sherdmark ALIAS sherdmark_all)
set_target_properties(sherdmark_all PROPERTIES EXPORT_NAME sherdmark)
target_link_libraries(sherdmark_all INTERFACE ${layers})

# One shared library of all layers. Its name carries major and minor version: before 1.0 a minor version may change the ABI.
file(CONFIGURE OUTPUT ${PROJECT_BINARY_DIR}/shared.cpp
  CONTENT "// All layers in one library; the code is in the static ones.\n")
add_library(sherdmark_shared SHARED EXCLUDE_FROM_ALL ${PROJECT_BINARY_DIR}/shared.cpp)
set_target_properties(sherdmark_shared PROPERTIES OUTPUT_NAME sherdmark EXPORT_NAME shared
  VERSION ${PROJECT_VERSION} SOVERSION ${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR})
target_compile_features(sherdmark_shared INTERFACE cxx_std_20)
target_include_directories(sherdmark_shared INTERFACE $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}>)
# Every object of every layer, then the layers again for what they were built with.
list(TRANSFORM layers REPLACE "(.+)" "$<TARGET_FILE:\\1>" OUTPUT_VARIABLE layer_files)
target_link_libraries(sherdmark_shared PRIVATE -Wl,--whole-archive ${layer_files} -Wl,--no-whole-archive ${layers})
add_dependencies(sherdmark_shared ${layers})

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/sherdmark)
install(TARGETS ${layers} sherdmark_all EXPORT sherdmarkTargets
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/lib/include/sherdmark DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
  COMPONENT development FILES_MATCHING PATTERN "*.h")
install(EXPORT sherdmarkTargets NAMESPACE sherdmark:: DESTINATION ${package_dir} COMPONENT development)
if(SHERDMARK_PACKAGE)
  set_target_properties(sherdmark_shared PROPERTIES EXCLUDE_FROM_ALL OFF)
  install(TARGETS sherdmark_shared EXPORT sherdmarkTargets
    LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library NAMELINK_COMPONENT development)
endif()
if(TARGET sherdmark)
  install(TARGETS sherdmark RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT tool)
  # Manual page and completions, written by the tool itself from the one table of its options.
  set(described ${PROJECT_BINARY_DIR}/described)
  file(MAKE_DIRECTORY ${described})
  add_custom_command(OUTPUT ${described}/sherdmark.1.gz ${described}/sherdmark.bash ${described}/_sherdmark
      ${described}/sherdmark.fish
    COMMAND sherdmark describe man | gzip -9n > ${described}/sherdmark.1.gz
    COMMAND sherdmark describe bash > ${described}/sherdmark.bash
    COMMAND sherdmark describe zsh > ${described}/_sherdmark
    COMMAND sherdmark describe fish > ${described}/sherdmark.fish
    DEPENDS sherdmark COMMENT "Manual page and completions" VERBATIM)
  add_custom_target(sherdmark_described ALL DEPENDS ${described}/sherdmark.1.gz)
  install(FILES ${described}/sherdmark.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT tool)
  install(FILES ${described}/sherdmark.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
    RENAME sherdmark COMPONENT tool)
  install(FILES ${described}/_sherdmark DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions COMPONENT tool)
  install(FILES ${described}/sherdmark.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d
    COMPONENT tool)
endif()
foreach(piece_and_folder tool:sherdmark library:libsherdmark${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR}
    development:libsherdmark-dev docs:sherdmark-doc)
  string(REPLACE ":" ";" piece_and_folder ${piece_and_folder})
  list(GET piece_and_folder 0 piece)
  list(GET piece_and_folder 1 folder)
  install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${folder} RENAME copyright
    COMPONENT ${piece})
endforeach()
install(FILES ${PROJECT_SOURCE_DIR}/docs/licences.md DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/sherdmark COMPONENT tool)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/docs/ DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/sherdmark-doc COMPONENT docs)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/samples DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/sherdmark-doc COMPONENT docs)

# Static libraries need what they were built with: the finds of SherdmarkDependencies.cmake, as find_dependency.
file(STRINGS ${CMAKE_CURRENT_LIST_DIR}/SherdmarkDependencies.cmake finds REGEX "^(find_package|pkg_check_modules)\\(")
list(FILTER finds EXCLUDE REGEX "CLI11")
list(TRANSFORM finds REPLACE "^find_package\\(([^ )]+) REQUIRED" "find_dependency(\\1")
list(JOIN finds "\n" SHERDMARK_FIND_DEPENDENCIES)
configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/sherdmarkConfig.cmake.in
  ${PROJECT_BINARY_DIR}/sherdmarkConfig.cmake INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/sherdmarkConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/sherdmarkConfig.cmake ${PROJECT_BINARY_DIR}/sherdmarkConfigVersion.cmake
  DESTINATION ${package_dir} COMPONENT development)
