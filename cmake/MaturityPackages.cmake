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

set(CPACK_COMPONENTS_ALL devel tools python)
set(CPACK_DEBIAN_DEVEL_PACKAGE_NAME libmaturity-dev)
set(CPACK_DEBIAN_DEVEL_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVEL_PACKAGE_DEPENDS
    "libeigen3-dev, libboost-dev, nlohmann-json3-dev, libopencv-dev, libexiv2-dev, libheif-dev, libpng-dev, libtiff-dev, libturbojpeg0-dev, libzxing-dev, libssl-dev")
set(CPACK_DEBIAN_TOOLS_PACKAGE_NAME maturity-tools)
set(CPACK_DEBIAN_TOOLS_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-maturity)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS
    "python3 (>= 3.11), python3 (<< 3.12), python3-numpy, python3-pandas, python3-matplotlib, python3-pil, python3-jinja2, python3-click, python3-rich")
set(CPACK_DEBIAN_PYTHON_PACKAGE_SUGGESTS "python3-distributed, python3-fsspec")
include(CPack)
