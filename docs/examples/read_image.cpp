// Every code in an image: what it says, where it lies, and whether it is one of ours.
//   read_image IMAGE
#include <sherdmark/base/error.h>
#include <sherdmark/base/files.h>
#include <sherdmark/base/text.h>
#include <sherdmark/code/link_code.h>
#include <sherdmark/scan/codes.h>
#include <sherdmark/scan/image.h>
#include <iostream>

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "read_image IMAGE\n";
    return 2;
  }
  try {
    constexpr std::size_t k_most_bytes = std::size_t{1} << 30U;
    const sherdmark::Bytes bytes = sherdmark::real_file_system().read(argv[1], k_most_bytes);
    for (const sherdmark::ImagePage& page : sherdmark::read_image(bytes, argv[1])) {
      for (const sherdmark::CodeReading& code : sherdmark::read_codes(page.grey.view())) {
        const sherdmark::LinkReading link = sherdmark::parse_code_text(code.text);
        const bool ours = link.status == sherdmark::LinkStatus::ours;
        // What a code says comes from anybody: printable() keeps it from steering the terminal.
        std::cout << sherdmark::to_text(code.format) << (ours ? " ours " : " foreign ")
                  << sherdmark::printable(code.text) << '\n';
      }
    }
    return 0;
  } catch (const sherdmark::Error& error) {
    std::cerr << error.what() << '\n';
    return error.exit_code();
  }
}
