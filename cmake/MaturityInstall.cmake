# find_package(maturity) for other projects.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

install(TARGETS maturity EXPORT maturityTargets COMPONENT devel
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY libmaturity DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT devel
        FILES_MATCHING PATTERN "*.h")
