# What an installation holds: one static library a layer, the public headers, the tool, and a package that
# find_package(sherdmark) finds. `sherdmark::sherdmark` stands for all layers. Fonts come from the distribution.
get_property(layers GLOBAL PROPERTY SHERDMARK_LAYERS)

add_library(sherdmark_all INTERFACE)
add_library(sherdmark::sherdmark ALIAS sherdmark_all)
set_target_properties(sherdmark_all PROPERTIES EXPORT_NAME sherdmark)
target_link_libraries(sherdmark_all INTERFACE ${layers})

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/sherdmark)
install(TARGETS ${layers} sherdmark_all EXPORT sherdmarkTargets ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/lib/include/sherdmark DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
  FILES_MATCHING PATTERN "*.h")
install(EXPORT sherdmarkTargets NAMESPACE sherdmark:: DESTINATION ${package_dir})
if(TARGET sherdmark)
  install(TARGETS sherdmark RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
endif()
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE ${PROJECT_SOURCE_DIR}/docs/licences.md
  DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/sherdmark)

# Static libraries need what they were built with: the finds of SherdmarkDependencies.cmake, as find_dependency.
file(STRINGS ${CMAKE_CURRENT_LIST_DIR}/SherdmarkDependencies.cmake finds REGEX "^(find_package|pkg_check_modules)\\(")
list(FILTER finds EXCLUDE REGEX "CLI11")
list(TRANSFORM finds REPLACE "^find_package\\(([^ )]+) REQUIRED" "find_dependency(\\1")
list(JOIN finds "\n" SHERDMARK_FIND_DEPENDENCIES)
configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/sherdmarkConfig.cmake.in
  ${PROJECT_BINARY_DIR}/sherdmarkConfig.cmake INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/sherdmarkConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/sherdmarkConfig.cmake ${PROJECT_BINARY_DIR}/sherdmarkConfigVersion.cmake
  DESTINATION ${package_dir})
