#include <algorithm>
#include <atomic>
#include <mutex>
#include <opencv2/core/utility.hpp>
#include <system_error>
#include <thread>
#include <utility>

#include "libmaturity/pipeline/check_settings.h"
#include "libmaturity/pipeline/measure_photo.h"

namespace maturity {

namespace {

// One photo per worker is the better use of the cores; OpenCV's own threads would only compete.
class OpencvSingleThread {
 public:
  OpencvSingleThread() : before_(cv::getNumThreads()) { cv::setNumThreads(1); }
  ~OpencvSingleThread() { cv::setNumThreads(before_); }
  OpencvSingleThread(const OpencvSingleThread&) = delete;
  OpencvSingleThread& operator=(const OpencvSingleThread&) = delete;
  OpencvSingleThread(OpencvSingleThread&&) = delete;
  OpencvSingleThread& operator=(OpencvSingleThread&&) = delete;

 private:
  int before_;
};

}  // namespace

void measure_each_photo(const std::vector<std::string>& paths, const MeasureSettings& settings,
                        const PhotoTaken& taken) {
  check(settings);
  const OpencvSingleThread quiet;
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stop{false};
  std::mutex taken_mutex;
  std::exception_ptr failure;
  const auto work = [&] {
    std::vector<std::uint8_t> buffer;
    while (!stop) {
      const std::size_t i = next++;
      if (i >= paths.size()) {
        return;
      }
      PhotoMeasurement photo = measure_photo(paths[i], settings, buffer);
      const std::lock_guard<std::mutex> lock(taken_mutex);
      try {
        if (!stop && !taken(i, std::move(photo))) {
          stop = true;
        }
      } catch (...) {
        failure = std::current_exception();
        stop = true;
      }
    }
  };
  const auto wanted = settings.threads > 0
                          ? static_cast<std::size_t>(settings.threads)
                          : std::max<std::size_t>(1, std::thread::hardware_concurrency());
  std::vector<std::thread> workers;
  try {
    for (std::size_t w = 1; w < std::min(wanted, paths.size()); ++w) {
      workers.emplace_back(work);
    }
  } catch (const std::system_error&) {
    // The system gives no more threads: those there are do the work.
  }
  work();
  for (std::thread& worker : workers) {
    worker.join();
  }
  if (failure) {
    std::rethrow_exception(failure);
  }
}

std::vector<PhotoMeasurement> measure_photos(const std::vector<std::string>& paths,
                                             const MeasureSettings& settings,
                                             const PhotoDone& done) {
  std::vector<PhotoMeasurement> results(paths.size());
  for (std::size_t i = 0; i < paths.size(); ++i) {
    results[i].path = paths[i];
    results[i].error = "The batch was stopped before this photo.";
    results[i].error_may_pass = true;
  }
  measure_each_photo(paths, settings, [&](std::size_t i, PhotoMeasurement&& photo) {
    results[i] = std::move(photo);
    return !done || done(i, results[i]);
  });
  return results;
}

}  // namespace maturity
