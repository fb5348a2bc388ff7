#include <algorithm>
#include <atomic>
#include <mutex>
#include <opencv2/core/utility.hpp>
#include <thread>

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

std::vector<PhotoMeasurement> measure_photos(const std::vector<std::string>& paths,
                                             const MeasureSettings& settings,
                                             const PhotoDone& done) {
  check(settings);
  std::vector<PhotoMeasurement> results(paths.size());
  std::vector<char> measured(paths.size(), 0);  // not vector<bool>: workers write to neighbours
  if (paths.empty()) {
    return results;
  }
  const OpencvSingleThread quiet;
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stop{false};
  std::mutex done_mutex;
  std::exception_ptr failure;
  const auto work = [&] {
    std::vector<std::uint8_t> buffer;
    while (!stop) {
      const std::size_t i = next++;
      if (i >= paths.size()) {
        return;
      }
      results[i] = measure_photo(paths[i], settings, buffer);
      measured[i] = 1;
      if (done) {
        const std::lock_guard<std::mutex> lock(done_mutex);
        try {
          if (!stop && !done(i, results[i])) {
            stop = true;
          }
        } catch (...) {
          failure = std::current_exception();
          stop = true;
        }
      }
    }
  };
  const auto wanted = settings.threads > 0
                          ? static_cast<std::size_t>(settings.threads)
                          : std::max<std::size_t>(1, std::thread::hardware_concurrency());
  std::vector<std::thread> workers;
  for (std::size_t w = 1; w < std::min(wanted, paths.size()); ++w) {
    workers.emplace_back(work);
  }
  work();
  for (std::thread& worker : workers) {
    worker.join();
  }
  if (failure) {
    std::rethrow_exception(failure);
  }
  for (std::size_t i = 0; i < paths.size(); ++i) {
    if (measured[i] == 0) {
      results[i].path = paths[i];
      results[i].error = "The batch was stopped before this photo.";
    }
  }
  return results;
}

}  // namespace maturity
