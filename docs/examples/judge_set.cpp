// Do the labels in these images belong together? The images are one set: a bag, its tag, its artifacts.
//   judge_set LEDGER IMAGE…      exit code 0 when they agree, 1 when not
#include <sherdmark/base/error.h>
#include <sherdmark/base/files.h>
#include <sherdmark/ledger/ledger.h>
#include <sherdmark/scan/label_text.h>
#include <sherdmark/verify/judge.h>
#include <sherdmark/verify/read_labels.h>
#include <sherdmark/verify/readings.h>
#include <iostream>

int main(int argc, char** argv) {
  if (argc < 3) {
    std::cerr << "judge_set LEDGER IMAGE…\n";
    return 2;
  }
  try {
    const sherdmark::Ledger ledger = sherdmark::Ledger::open_read_only(argv[1]);

    // The reader sees the house standard, never the ledger: what is expected cannot colour what is read.
    const sherdmark::LabelTextReader reader{ledger.standard()};
    std::vector<sherdmark::ImageReadings> seen;
    for (int i = 2; i < argc; ++i) {
      constexpr std::size_t k_most_bytes = std::size_t{1} << 30U;
      const sherdmark::Bytes bytes = sherdmark::real_file_system().read(argv[i], k_most_bytes);
      for (sherdmark::ImageReadings& page : sherdmark::read_labels(bytes, argv[i], reader, ledger.standard()))
        seen.push_back(std::move(page));
    }

    const sherdmark::ReadingSet set = sherdmark::build_set("these images", seen);
    const sherdmark::SetVerdict verdict = sherdmark::judge(set, ledger, ledger.standard());
    std::cout << sherdmark::to_text(verdict.verdict) << " (" << sherdmark::to_text(verdict.evidence) << ")\n";
    for (const sherdmark::Reason& reason : verdict.reasons) std::cout << "  " << reason.text << '\n';
    std::cout << "  " << sherdmark::not_tested(verdict) << '\n';
    return verdict.verdict == sherdmark::Verdict::agree ? 0 : 1;
  } catch (const sherdmark::Error& error) {
    std::cerr << error.what() << '\n';
    return error.exit_code();
  }
}
