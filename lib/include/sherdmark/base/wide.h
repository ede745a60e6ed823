// Loops over pixels or their likes, compiled a second time for processors that take 32 bytes at once (AVX2); which of the two runs is
// settled when the program starts. No multiplication is joined with an addition in either, so both give the same
// results to the last bit. Put it before a free function. Only where compiler and linker know how (GNU, x86-64, ELF).
#pragma once

#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && defined(__ELF__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define SHERDMARK_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define SHERDMARK_WIDE
#endif
