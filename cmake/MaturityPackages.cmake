# Debian packages, by CPack: libmaturity-dev (headers, library, find_package), maturity-tools
# (maturity-measure) and python3-maturity (the package and the command). tools/packages/deb makes them.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME maturity)
set(CPACK_PACKAGE_CONTACT "the maintainers of libmaturity")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
# Which packages the programs need, as dpkg-shlibdeps finds from what they are linked with.
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)

# Whoever gets a copy gets the licence (Apache License 2.0, section 4), and Debian looks for it there.
function(maturity_license component package)
  install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION share/doc/${package} RENAME copyright
          COMPONENT ${component})
endfunction()
maturity_license(devel libmaturity-dev)
maturity_license(tools maturity-tools)
# Elsewhere the Python component goes into a folder of Python packages.
if(MATURITY_PYTHON_DESTINATION AND NOT MATURITY_PYTHON_DESTINATION STREQUAL ".")
  maturity_license(python python3-maturity)
endif()

set(CPACK_COMPONENTS_ALL devel tools python)
set(CPACK_DEBIAN_DEVEL_PACKAGE_NAME libmaturity-dev)
set(CPACK_DEBIAN_DEVEL_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVEL_DESCRIPTION "C++ library, its headers, and what find_package needs.")
set(CPACK_DEBIAN_DEVEL_PACKAGE_DEPENDS
    "libeigen3-dev, libboost-dev, nlohmann-json3-dev, libopencv-dev, libexiv2-dev, libheif-dev, libpng-dev, libtiff-dev, libturbojpeg0-dev, libzxing-dev, libssl-dev")
set(CPACK_DEBIAN_TOOLS_PACKAGE_NAME maturity-tools)
set(CPACK_DEBIAN_TOOLS_PACKAGE_SECTION science)
set(CPACK_DEBIAN_TOOLS_DESCRIPTION "The program maturity-measure: photos to outlines and sizes, without Python.")
set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-maturity)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_DESCRIPTION "The command maturity and the Python package of the same name.")
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS
    "python3 (>= 3.11), python3 (<< 3.12), python3-numpy, python3-pandas, python3-matplotlib, python3-pil, python3-jinja2, python3-click, python3-rich")
set(CPACK_DEBIAN_PYTHON_PACKAGE_SUGGESTS "python3-distributed, python3-fsspec")
include(CPack)
