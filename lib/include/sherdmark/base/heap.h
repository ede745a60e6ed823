// How the C library's allocator asks the system for memory. For a program's main, once, before there is a second
// thread; the library itself never calls it, for a program's allocator is the program's own business.
#pragma once

namespace sherdmark {

// Memory comes in large pages, and stays when it was freed, up to some hundred megabytes: pictures, maps of their lines
// and code matrices are made and given back by the dozen, and in pages of 4 KB each of them interrupts the program
// hundreds of times before its first byte is written (4,000 times for a photograph of 12 megapixels, a tenth of its
// time). Advice only: where the system does not take it, memory is as good. Source of the calls: glibc's mallopt(3),
// and madvise(2) of Linux; elsewhere it does nothing.
void take_memory_in_large_pages();

// Call before threads start that each allocate a lot (rows of a catalog): they no longer wait for one another, at the
// price of small pages for all threads but the first. Does nothing where the C library has no such setting.
void give_threads_rooms_of_their_own();

}  // namespace sherdmark
