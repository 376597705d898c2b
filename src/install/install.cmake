# Where everything goes, and the Debian packages: `program` is what a maker needs, and
# `development` what a program needs that calls the library.
include(GNUInstallDirs)

# ---- the program ----

install(TARGETS blankwright_program RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(FILES ${pages}/blankwright.bash RENAME blankwright COMPONENT program
  DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)

# Debian's zsh looks below /usr for what packages bring in a folder of its own. The prefix
# is only known when the files are installed.
install(CODE [[
  set(zsh_folder site-functions)
  if("${CMAKE_INSTALL_PREFIX}" MATCHES "(^|/)usr/?$" AND EXISTS /etc/debian_version)
    set(zsh_folder vendor-completions)
  endif()]] COMPONENT program)
install(FILES ${pages}/_blankwright COMPONENT program
  DESTINATION "${CMAKE_INSTALL_DATADIR}/zsh/\${zsh_folder}")

# Manual pages and logs of changes are kept packed, without the time of packing.
find_program(GZIP_PROGRAM gzip REQUIRED)
function(install_packed source target folder component)
  set(packed ${PROJECT_BINARY_DIR}/pages/${component}/${target}.gz)
  file(MAKE_DIRECTORY ${PROJECT_BINARY_DIR}/pages/${component})
  add_custom_command(OUTPUT ${packed}
    COMMAND ${GZIP_PROGRAM} -9nc ${source} > ${packed}
    DEPENDS ${source} VERBATIM)
  add_custom_target(packed_${component}_${target} ALL DEPENDS ${packed})
  install(FILES ${packed} DESTINATION ${folder} COMPONENT ${component})
endfunction()

install_packed(${pages}/blankwright.1 blankwright.1 ${CMAKE_INSTALL_MANDIR}/man1 program)
add_dependencies(packed_program_blankwright.1 pages)

# ---- the library ----

install(TARGETS blankwright_core ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/include/blankwright
  DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT development)

# Folders within the prefix are found from where the file lies, so that the prefix may be
# chosen when the files are installed.
set(pc_folder ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
if(IS_ABSOLUTE "${CMAKE_INSTALL_LIBDIR}" OR IS_ABSOLUTE "${CMAKE_INSTALL_INCLUDEDIR}")
  set(pc_prefix ${CMAKE_INSTALL_PREFIX})
  set(pc_include ${CMAKE_INSTALL_FULL_INCLUDEDIR})
  set(pc_library ${CMAKE_INSTALL_FULL_LIBDIR})
else()
  file(RELATIVE_PATH pc_up /${pc_folder} /)
  string(REGEX REPLACE "/$" "" pc_up "${pc_up}")
  set(pc_prefix "\${pcfiledir}/${pc_up}")
  set(pc_include "\${prefix}/${CMAKE_INSTALL_INCLUDEDIR}")
  set(pc_library "\${prefix}/${CMAKE_INSTALL_LIBDIR}")
endif()
configure_file(${CMAKE_CURRENT_LIST_DIR}/blankwright.pc.in ${PROJECT_BINARY_DIR}/blankwright.pc @ONLY)
install(FILES ${PROJECT_BINARY_DIR}/blankwright.pc DESTINATION ${pc_folder} COMPONENT development)

# ---- the Debian packages ----

set(development_package libblankwright-dev)
string(TIMESTAMP changelog_date "%a, %d %b %Y %H:%M:%S +0000" UTC) # of SOURCE_DATE_EPOCH where set
configure_file(${CMAKE_CURRENT_LIST_DIR}/changelog.in ${PROJECT_BINARY_DIR}/changelog @ONLY)
install(FILES ${CMAKE_CURRENT_LIST_DIR}/copyright COMPONENT program
  DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/blankwright)
install(FILES ${CMAKE_CURRENT_LIST_DIR}/copyright COMPONENT development
  DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${development_package})
install_packed(${PROJECT_BINARY_DIR}/changelog changelog
  ${CMAKE_INSTALL_DATADIR}/doc/blankwright program)
install_packed(${PROJECT_BINARY_DIR}/changelog changelog
  ${CMAKE_INSTALL_DATADIR}/doc/${development_package} development)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "the blankwright developers")
set(CPACK_PACKAGE_VENDOR "the blankwright developers")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME blankwright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
"From a folder of CSV files with the finished sizes of parts and the wood on
hand it sizes the sawn blanks, lays them out in planks and sheets, places
clamps and tabs for the router, and writes drawings, cut lists and a purchase
list. The plan comes with a bound on how far it is from the cheapest one.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME ${development_package})
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
  "libglpk-dev, libcsv-dev, libjansson-dev, libxml2-dev, libcairo2-dev, libpango1.0-dev, libc6-dev")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION
"This package holds the static library, its public header and its pkg-config
file, for programs that plan a run of small wooden goods themselves.")
include(CPack)
