# find_package(maturity) for other projects: the library, its headers, and how to link them.
# tests/outside_project is such a project, built in CI against an install tree.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

set(maturity_package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/maturity)
install(TARGETS maturity EXPORT maturityTargets COMPONENT devel
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY libmaturity DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT devel
        FILES_MATCHING PATTERN "*.h")
install(EXPORT maturityTargets NAMESPACE maturity:: DESTINATION ${maturity_package_dir}
        COMPONENT devel)
configure_package_config_file(
  ${PROJECT_SOURCE_DIR}/cmake/maturityConfig.cmake.in
  ${PROJECT_BINARY_DIR}/maturityConfig.cmake INSTALL_DESTINATION ${maturity_package_dir})
# Before 1.0 a new minor version may change names.
write_basic_package_version_file(${PROJECT_BINARY_DIR}/maturityConfigVersion.cmake
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/maturityConfig.cmake
              ${PROJECT_BINARY_DIR}/maturityConfigVersion.cmake
              cmake/MaturityDependencies.cmake
        DESTINATION ${maturity_package_dir} COMPONENT devel)
