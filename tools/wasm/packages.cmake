# Debian's header-only libraries and GoogleTest for WebAssembly. Their packages are native ones, so
# that find_package would not do. Headers are reached by links: the whole of /usr/include would bring
# the native C library with it.
set(wasm_headers ${CMAKE_BINARY_DIR}/headers)
file(MAKE_DIRECTORY ${wasm_headers})
foreach(name eigen3 fmt nlohmann toml++)
  if(NOT IS_DIRECTORY /usr/include/${name})
    message(FATAL_ERROR "No headers of ${name}: run tools/setup build page")
  endif()
  file(CREATE_LINK /usr/include/${name} ${wasm_headers}/${name} SYMBOLIC)
endforeach()

# What the native packages call them.
add_library(trammel_wasm_headers INTERFACE)
target_include_directories(trammel_wasm_headers SYSTEM INTERFACE ${wasm_headers})
add_library(fmt::fmt INTERFACE IMPORTED)
target_link_libraries(fmt::fmt INTERFACE trammel_wasm_headers)
target_compile_definitions(fmt::fmt INTERFACE FMT_HEADER_ONLY)
add_library(nlohmann_json::nlohmann_json INTERFACE IMPORTED)
target_link_libraries(nlohmann_json::nlohmann_json INTERFACE trammel_wasm_headers)
add_library(Eigen3::Eigen INTERFACE IMPORTED)
target_link_libraries(Eigen3::Eigen INTERFACE trammel_wasm_headers)
target_include_directories(Eigen3::Eigen SYSTEM INTERFACE ${wasm_headers}/eigen3)
set(EIGEN3_INCLUDE_DIRS ${wasm_headers}/eigen3)
