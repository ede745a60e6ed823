#include "sherdmark/base/heap.h"

#include <cstdlib>  // says whether this is glibc

#include "sherdmark/base/parallel.h"

#ifdef __GLIBC__
#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#endif

namespace sherdmark {

#ifdef __GLIBC__
namespace {

constexpr int k_room_bytes = 256 << 20;   // that is asked for at a time; only what is written to is taken
constexpr int k_kept_bytes = 256 << 20;   // more than that, freed, goes back to the system
constexpr int k_mapped_bytes = 32 << 20;  // from here on a block is a mapping of its own, as always

}  // namespace

void take_memory_in_large_pages() {
  ::mallopt(M_MMAP_THRESHOLD, k_mapped_bytes);
  ::mallopt(M_TRIM_THRESHOLD, k_kept_bytes);
  ::mallopt(M_TOP_PAD, k_room_bytes);
  // Rooms that threads make for themselves are in pages of 4 KB: two share one, and on a machine of two cores the
  // first.
  ::mallopt(M_ARENA_MAX, static_cast<int>((worker_count() + 1) / 2));
  constexpr std::size_t k_more_than_there_is = 512 << 10U;
  void* first = std::malloc(k_more_than_there_is);  // the room grows now
  const auto page_bytes = static_cast<std::uintptr_t>(::sysconf(_SC_PAGESIZE));
  const auto into_page = reinterpret_cast<std::uintptr_t>(first) % page_bytes;
  const auto bytes = reinterpret_cast<std::uintptr_t>(::sbrk(0)) - reinterpret_cast<std::uintptr_t>(first) + into_page;
  if (first != nullptr && bytes <= 2 * static_cast<std::uintptr_t>(k_room_bytes))  // huge where `first` lies elsewhere
    (void)::madvise(static_cast<char*>(first) - into_page, bytes, MADV_HUGEPAGE);
  std::free(first);
}

void give_threads_rooms_of_their_own() { ::mallopt(M_ARENA_MAX, static_cast<int>(worker_count())); }
#else
void take_memory_in_large_pages() {}
void give_threads_rooms_of_their_own() {}
#endif

}  // namespace sherdmark
