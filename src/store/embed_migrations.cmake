# Writes OUTPUT: ShippedMigrations() over the files of MIGRATIONS, in order of their numbers.
cmake_minimum_required(VERSION 3.25)
set(rows "")
set(seen "")
list(SORT MIGRATIONS)
foreach(path ${MIGRATIONS})
  get_filename_component(stem ${path} NAME_WE)
  if(NOT stem MATCHES "^([0-9][0-9][0-9][0-9])_([a-z0-9_]+)$")
    message(FATAL_ERROR "${path}: name it NNNN_name.sql")
  endif()
  set(digits ${CMAKE_MATCH_1})
  set(name ${CMAKE_MATCH_2})
  if(digits IN_LIST seen)
    message(FATAL_ERROR "${path}: the number ${digits} is taken")
  endif()
  list(APPEND seen ${digits})
  math(EXPR number "1${digits} - 10000")
  file(READ ${path} text)
  string(APPEND rows "    {${number}, \"${name}\", R\"sql(${text})sql\"},\n")
endforeach()
file(WRITE ${OUTPUT} "#include \"store/migrations.h\"\n
namespace ribwright::store {
namespace {
constexpr Migration kMigrations[] = {
${rows}};
}  // namespace
std::span<const Migration> ShippedMigrations() { return kMigrations; }
}  // namespace ribwright::store
")
