#include "libmaturity/pipeline/read_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "libmaturity/photo/photo.h"
#include "tests/pipeline/board_scene.h"

namespace maturity {
namespace {

using testing::HasSubstr;

std::string error_of(const std::string& path) {
  try {
    read_file(path);
  } catch (const PhotoError& error) {
    return error.what();
  }
  return "";
}

TEST(ReadFile, GivesEveryByte) {
  const made::TemporaryFolder folder;
  made::Bytes bytes(70000);
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    bytes[i] = static_cast<std::uint8_t>(i * 7 + i / 256);
  }
  EXPECT_EQ(read_file(folder.put("a.bin", bytes)), bytes);
  EXPECT_TRUE(read_file(folder.put("empty.bin", {})).empty());
}

TEST(ReadFile, SaysWhatIsWrong) {
  const made::TemporaryFolder folder;
  EXPECT_THAT(error_of((folder.path() / "none.jpg").string()), HasSubstr("no such file"));
  EXPECT_THAT(error_of((folder.path() / "none" / "none.jpg").string()), HasSubstr("no such file"));
  EXPECT_THAT(error_of(""), HasSubstr("no such file"));
  EXPECT_THAT(error_of(folder.path().string()), HasSubstr("folder"));
  EXPECT_THAT(error_of("/dev/null"), HasSubstr("device"));
  EXPECT_NE(error_of(std::string(5000, 'x')), "");
}

TEST(ReadFile, AFileWithoutPermissionIsAnError) {
  if (geteuid() == 0) {
    GTEST_SKIP() << "root may read everything";
  }
  const made::TemporaryFolder folder;
  const std::string path = folder.put("locked.jpg", {1, 2, 3});
  std::filesystem::permissions(path, std::filesystem::perms::none);
  EXPECT_THAT(error_of(path), HasSubstr("permission"));
}

TEST(ReadFile, AFileLargerThanAnyPhotoIsRefusedUnread) {
  const made::TemporaryFolder folder;
  const std::string path = folder.put("large.jpg", {1});
  std::filesystem::resize_file(path, (std::uintmax_t{1} << 30U) + 1);  // sparse
  EXPECT_THAT(error_of(path), HasSubstr("1 GiB"));
}

}  // namespace
}  // namespace maturity
