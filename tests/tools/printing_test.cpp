// Type, true size, soak tests and cutting, through the tool: what a person types, what comes back, what is on the
// paper.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numbers>

#include "sherdmark/base/files.h"
#include "sherdmark/base/units.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/sheet/calibration.h"
#include "sherdmark/sheet/placement.h"
#include "sherdmark/sheet/sheets.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

constexpr double k_dpi = 200;

Json parsed(const ToolRun& result) {
  Json document = Json::parse(result.out, nullptr, false);
  EXPECT_FALSE(document.is_discarded()) << result.out;
  EXPECT_EQ(document.value("schema", 0), 1);
  return document;
}

std::string pdf_text(const Bench& bench, const std::string& file) {
  std::string text = run({"pdftotext", "-layout", bench.path(file).string(), "-"}).out;
  std::ranges::replace(text, '\n', ' ');
  for (std::size_t at = 0; (at = text.find("  ", at)) != std::string::npos;) text.erase(at, 1);
  return text;
}

// --- type ------------------------------------------------------------------------------------------------------------

TEST(Type, of_both_sample_collections_the_shipped_font_has_no_finding_and_the_report_names_the_worst_pairs) {
  for (const std::string name : {"ostervane", "quillow_ferry"}) {
    Bench bench;
    const ToolRun result = bench.run({"type", "--standard", sample("standards/" + name + ".toml").string(),
                                      sample(name + "/catalog.csv").string(), "--out", "@/report", "--json"});
    const Json found = parsed(result);
    EXPECT_EQ(result.code, 0) << result.out;
    EXPECT_EQ(found["findings"], 0);
    EXPECT_EQ(found["fonts"][0]["font"], found["font"]) << "what is shipped is what wins over both";
    EXPECT_EQ(found["font"], "Hack");
    // docs/type.md prints these figures.
    const Json* open_sans = nullptr;
    for (const Json& font : found["fonts"])
      if (font["font"] == "Open Sans") open_sans = &font;
    ASSERT_NE(open_sans, nullptr);
    EXPECT_EQ((*open_sans)["findings"], 0);
    EXPECT_NEAR((*open_sans)["mean_of_worst_five"], name == "ostervane" ? 0.116 : 0.124, 0.0006);
    EXPECT_EQ(found["fonts"].size(), 9U);
    EXPECT_EQ(found["numbers"], name == "ostervane" ? 19 : 59);
    EXPECT_EQ(found["upside_down"]["without_rule"].size(), name == "ostervane" ? 4U : 17U);
    EXPECT_EQ(found["upside_down"]["with_rule"].size(), 0U);
    EXPECT_FALSE(found["soak_test"]["safe"]);
    // 5 pt Hack: capitals of 0.729 em are 1.286 mm, 12.6 minutes at 350 mm by H = 6.283 D MA / 21600 (NUREG-0700).
    EXPECT_NEAR(found["legibility"]["cap_arcmin"], 12.6, 0.1);
    EXPECT_EQ(found["legibility"]["lens_power"], 1.5);
    const std::string text = pdf_text(bench, "report/type.pdf");
    for (std::size_t i = 0; i < 3; ++i) {
      const Json& pair = found["pairs"][i];
      const std::string named = pair["first"].get<std::string>() + " and " + pair["second"].get<std::string>();
      EXPECT_NE(text.find(named), std::string::npos) << named;
    }
    EXPECT_EQ(text.find("safe to use"), std::string::npos);
    EXPECT_LT(text.find("In minutes of arc"), text.find("reached at")) << "told before the figures, on their page";
    const std::string fonts = run({"pdffonts", bench.path("report/type.pdf").string()}).out;
    EXPECT_NE(fonts.find("Hack"), std::string::npos) << fonts;
  }
}

TEST(Type, a_pair_that_can_be_mistaken_in_these_numbers_is_a_finding_and_ends_with_1) {
  Bench bench;
  bench.write("catalog.csv",
              "Find number,Name,Material,Condition,Pieces,Largest mm\r\n2031-114-8,bowl,ceramic,sound,1,82\r\n"
              "2031-114-9,bowl,ceramic,sound,1,82\r\n2031-114-6,bowl,ceramic,sound,1,82\r\n");
  const std::vector<std::string> asked{"type", "--standard", sample("standards/ostervane.toml").string(),
                                       "@/catalog.csv"};
  EXPECT_NE(bench.expect(0, asked).out.find("Nothing that can be taken"), std::string::npos);
  // The same figures at 2 pt, read from a metre off, are a blur.
  std::vector<std::string> far = asked;
  far.insert(far.end(), {"--size-pt", "2", "--distance-mm", "1000"});
  const ToolRun blurred = bench.expect(1, far);
  EXPECT_NE(blurred.out.find(" !   2031-114-"), std::string::npos) << blurred.out;
}

TEST(Type, a_font_that_would_be_substituted_is_an_error_and_never_silent) {
  Bench bench;
  start_collection(bench, small_samples().front());
  const ToolRun result = bench.expect(4, {"type", "--font", "No Such Family"});
  EXPECT_NE(result.err.find("\"No Such Family\" is not installed"), std::string::npos) << result.err;
}

TEST(Type, what_cannot_be_judged_is_said) {
  Bench bench;
  bench.expect(2, {"type", "--standard", sample("standards/ostervane.toml").string()});
  bench.expect(2, {"type", "somewhere.csv"});
  start_collection(bench, small_samples().front());
  bench.expect(2, {"type", "--size-pt", "huge"});
  bench.expect(2, {"type", "--printer", "Attic"});
}

// --- true size -------------------------------------------------------------------------------------------------------

// What a printer does to a page: it stretches it and turns it clockwise about the top left corner of the paper.
struct ASimulatedPrinter {
  double scale_x, scale_y, clockwise_deg;

  [[nodiscard]] PointF put(PointF page) const {
    const double a = clockwise_deg * std::numbers::pi / 180;
    return {scale_x * std::cos(a) * page.x - scale_y * std::sin(a) * page.y,
            scale_x * std::sin(a) * page.x + scale_y * std::cos(a) * page.y};
  }
  [[nodiscard]] PointF from(PointF paper) const {
    const double a = clockwise_deg * std::numbers::pi / 180;
    return {(std::cos(a) * paper.x + std::sin(a) * paper.y) / scale_x,
            (-std::sin(a) * paper.x + std::cos(a) * paper.y) / scale_y};
  }
  [[nodiscard]] GreyPicture print(const GreyPicture& page) const {
    GreyPicture paper{page.width_px() + 60, page.height_px() + 60};
    for (int y = 0; y < paper.height_px(); ++y)
      for (int x = 0; x < paper.width_px(); ++x) {
        const PointF at = from({x + 0.5, y + 0.5});
        const double fx = at.x - 0.5;
        const double fy = at.y - 0.5;
        const int ix = static_cast<int>(std::floor(fx));
        const int iy = static_cast<int>(std::floor(fy));
        if (ix < 0 || iy < 0 || ix + 1 >= page.width_px() || iy + 1 >= page.height_px()) continue;
        const double u = fx - ix;
        const double v = fy - iy;
        const double top = (1 - u) * page.row(iy)[ix] + u * page.row(iy)[ix + 1];
        const double low = (1 - u) * page.row(iy + 1)[ix] + u * page.row(iy + 1)[ix + 1];
        paper.row(y)[x] = static_cast<std::uint8_t>((1 - v) * top + v * low + 0.5);
      }
    return paper;
  }
};

GreyPicture page_of(const Bench& bench, const std::string& pdf) {
  const auto stem = bench.path("rendered");
  EXPECT_EQ(run({"pdftocairo", "-r", "200", "-gray", "-png", "-singlefile", bench.path(pdf).string(), stem.string()})
                .exit_code,
            0);
  const Bytes bytes = real_file_system().read(stem.string() + ".png", std::size_t{1} << 28U);
  return std::move(read_image(bytes, "rendered.png").front().grey);
}

void write_picture(const Bench& bench, const std::string& name, const GreyPicture& picture) {
  std::ofstream out{bench.path(name), std::ios::binary};
  write_png(picture.view(), [&](std::span<const std::byte> part) {
    out.write(reinterpret_cast<const char*>(part.data()), static_cast<std::streamsize>(part.size()));
  });
}

PointF centre_of_ink_mm(const GreyPicture& picture, const PlacedLabel& label) {
  double sum = 0, x_sum = 0, y_sum = 0;
  const auto px = [](double mm) { return static_cast<int>(std::lround(mm_to_dots(mm, k_dpi))); };
  for (int y = px(label.y_mm); y < px(label.y_mm + label.h_mm); ++y)
    for (int x = px(label.x_mm); x < px(label.x_mm + label.w_mm); ++x) {
      const double ink = 255.0 - picture.row(y)[x];
      sum += ink, x_sum += ink * (x + 0.5), y_sum += ink * (y + 0.5);
    }
  return {dots_to_mm(x_sum / sum, k_dpi), dots_to_mm(y_sum / sum, k_dpi)};
}

std::string only_file(const Bench& bench, const std::string& ending, const std::string& not_this = "",
                      const std::string& folder = "sheets") {
  for (const std::string& file : bench.files())
    if (file.ends_with(ending) && !file.ends_with(".cutting.json") && file.starts_with(folder + "/") &&
        file != not_this)
      return file;
  ADD_FAILURE() << "no file " << ending;
  return {};
}

TEST(Calibrate, a_printer_that_stretches_by_two_percent_and_turns_by_a_fifth_of_a_degree_prints_true_afterwards) {
  const ASimulatedPrinter printer{1.02, 0.988, 0.2};
  Bench bench;
  start_collection(bench, small_samples().back());  // US Letter
  bench.expect(0, {"plan"});
  bench.expect(0, {"calibrate", "page", "--out", "@/page"});
  write_picture(bench, "scan.png", printer.print(page_of(bench, "page/calibration-letter-600dpi.pdf")));
  const CalibrationMarks marks = calibration_marks(SheetStock{});
  const auto edge = [&](double y_mm) { return std::to_string(printer.put({marks.left_mm, y_mm}).x); };
  const Json kept =
      parsed(bench.expect(0, {"calibrate", "enter", "--printer", "Front office", "--scan", "@/scan.png", "--dpi", "200",
                              "--edges", edge(marks.top_mm) + "," + edge(marks.bottom_mm), "--finest", "4", "--json"}));
  EXPECT_NEAR(kept["scale_x"], 1.02, 4e-4);
  EXPECT_NEAR(kept["scale_y"], 0.988, 4e-4);
  EXPECT_NEAR(kept["skew_deg"], 0.2, 0.02);
  EXPECT_GT(kept["farthest_off_mm"], 3.0);

  const Json run_made = parsed(
      bench.expect(0, {"labels", "--for", "artifacts", "--printer", "Front office", "--out", "@/sheets", "--json"}));
  const std::string corrected_pdf = only_file(bench, ".pdf");
  const std::string placements_file = only_file(bench, ".json");
  bench.expect(0, {"labels", "--reprint", run_made["run"], "--out", "@/sheets"});
  const std::string plain_pdf = only_file(bench, ".pdf", corrected_pdf);
  const GreyPicture wanted = page_of(bench, plain_pdf);
  const GreyPicture uncorrected = printer.print(wanted);
  const GreyPicture printed = printer.print(page_of(bench, corrected_pdf));
  const Placements placements = read_placements_json(bench.read(placements_file), placements_file);
  double worst = 0;
  for (const PlacedLabel& label : placements.labels) {
    const PointF should = centre_of_ink_mm(wanted, label);
    const PointF is = centre_of_ink_mm(printed, label);
    worst = std::max(worst, std::hypot(is.x - should.x, is.y - should.y));
  }
  EXPECT_LE(worst, 0.1);
  EXPECT_NE(pdf_text(bench, corrected_pdf).find("only for printer \"Front office\""), std::string::npos);
  // The marks at the corners of the page lie where they should, too; without correction they do not.
  const auto corner_off = [&](const GreyPicture& picture) {
    double farthest = 0;
    for (const double x : {6.35, 215.9 - 6.35})
      for (const double y : {6.35, 279.4 - 6.35}) {
        PlacedLabel corner;
        corner.x_mm = x - 3, corner.y_mm = y - 3, corner.w_mm = corner.h_mm = 6;
        const PointF should = centre_of_ink_mm(wanted, corner);
        const PointF is = centre_of_ink_mm(picture, corner);
        farthest = std::max(farthest, std::hypot(is.x - should.x, is.y - should.y));
      }
    return farthest;
  };
  EXPECT_LE(corner_off(printed), 0.1);
  EXPECT_FALSE(corner_off(uncorrected) <= 0.1);
}

TEST(Calibrate, measured_figures_are_kept_under_the_printers_name_with_their_past) {
  Bench bench;
  start_collection(bench, small_samples().back());
  EXPECT_NE(bench.expect(0, {"calibrate", "list"}).out.find("No printer is calibrated yet"), std::string::npos);
  const std::vector<std::string> first{"calibrate",    "enter",      "--printer",
                                       "Front office", "--measured", "177.5,237.0,20.1,19.3"};
  EXPECT_NE(bench.expect(0, first).out.find("Printer \"Front office\" (measured on letter)"), std::string::npos);
  bench.expect(0, {"calibrate", "enter", "--printer", "Front office", "--measured", "176.5,239.0", "--finest", "5"});
  const Json list = parsed(bench.expect(0, {"calibrate", "list", "--json"}));
  ASSERT_EQ(list["printers"].size(), 1U);
  EXPECT_NEAR(list["printers"][0]["scale_x"], 176.5 / 175.9, 1e-9);
  EXPECT_EQ(list["printers"][0]["least_module_dots"], 5);
  bench.expect(0, {"calibrate", "enter", "--printer", "Attic", "--measured", "6.95in,9.41\"", "--finest", "5"});
  const Json inches = parsed(bench.expect(0, {"calibrate", "list", "--json"}));
  ASSERT_EQ(inches["printers"].size(), 2U);
  EXPECT_NEAR(inches["printers"][0]["scale_x"], 176.53 / 175.9, 1e-9);
  const std::string past = bench.expect(0, {"history", "Front office"}).out;
  EXPECT_NE(past.find("100.91 % across"), std::string::npos) << past;
  EXPECT_NE(past.find("100.34 % across"), std::string::npos) << past;
}

TEST(Calibrate, sheets_of_every_role_have_room_to_name_the_printer_they_are_made_for) {
  struct Row {
    std::string sample, measured;
  };
  for (const Row& row : {Row{"ostervane", "171.0,258.0"}, Row{"quillow_ferry", "176.5,239.0"}}) {
    Bench bench;
    bench.expect(0, {"init", "--standard", sample("standards/" + row.sample + ".toml").string()});
    bench.expect(0, {"intake", sample(row.sample + "/catalog.csv").string()});
    bench.expect(0, {"plan"});
    const std::string printer = "Laser printer, laboratory, second floor";
    bench.expect(0, {"calibrate", "enter", "--printer", printer, "--measured", row.measured, "--finest", "4"});
    for (const std::string role : {"artifacts", "bags", "tags", "boxes", "shelves"}) {
      bench.expect(0, {"labels", "--for", role, "--printer", printer, "--out", "@/" + role});
      if (role == "boxes" || role == "shelves") continue;  // die-cut sheets and rolls have no head
      EXPECT_NE(pdf_text(bench, only_file(bench, ".pdf", "", role)).find(printer), std::string::npos) << role;
    }
  }
}

TEST(Calibrate, a_page_that_shrank_a_little_both_ways_alike_is_kept_and_doubted_in_words) {
  Bench bench;
  start_collection(bench, small_samples().back());
  const ToolRun doubted = bench.expect(0, {"calibrate", "enter", "--printer", "Attic", "--measured", "172.4,234.6"});
  EXPECT_NE(doubted.out.find("that is how \"fit to page\" looks"), std::string::npos) << doubted.out;
  const ToolRun sound = bench.expect(0, {"calibrate", "enter", "--printer", "Attic", "--measured", "172.4,239.0"});
  EXPECT_EQ(sound.out.find("fit to page"), std::string::npos) << sound.out;
}

TEST(Calibrate, fit_to_page_and_figures_that_cannot_be_right_are_refused_in_words_and_nothing_is_kept) {
  Bench bench;
  start_collection(bench, small_samples().back());
  const ToolRun shrunk =
      bench.expect(3, {"calibrate", "enter", "--printer", "Front office", "--measured", "165.3,225.0"});
  EXPECT_NE(shrunk.err.find("fit to page"), std::string::npos) << shrunk.err;
  bench.expect(2, {"calibrate", "enter", "--printer", "Front office", "--measured", "175.9"});
  bench.expect(2, {"calibrate", "enter", "--printer", "Front office", "--measured", "175.9,239.4,20"});
  for (const std::string wrong : {"6.925ft,9.425ft", "in,in", "-6in,9in", "200in,9in"})
    bench.expect(2, {"calibrate", "enter", "--printer", "Front office", "--measured", wrong});
  bench.expect(2, {"calibrate", "enter", "--printer", "Front office"});
  bench.expect(2, {"calibrate", "enter", "--measured", "175.9,239.4"});
  bench.expect(2, {"calibrate", "page"});
  bench.expect(2, {"calibrate"});
  EXPECT_EQ(parsed(bench.expect(0, {"calibrate", "list", "--json"}))["printers"].size(), 0U);
}

// --- soak tests ------------------------------------------------------------------------------------------------------

TEST(SoakTest, sheets_and_type_carry_the_warning_until_a_test_is_valid_and_only_then_say_safe_to_use) {
  Bench bench;
  start_collection(bench, small_samples().back());
  bench.expect(0, {"plan"});
  bench.expect(0, {"calibrate", "enter", "--printer", "Front office", "--measured", "175.9,239.4"});
  const std::vector<std::string> asked{"type", "--printer", "Front office"};
  EXPECT_EQ(bench.run(asked).out.find("safe to use"), std::string::npos);
  const Json run_made = parsed(
      bench.expect(0, {"labels", "--for", "artifacts", "--printer", "Front office", "--out", "@/sheets", "--json"}));
  const std::string before = only_file(bench, ".pdf");
  EXPECT_NE(pdf_text(bench, before).find("No soak test of \"Front office\" on this paper is recorded"),
            std::string::npos);
  EXPECT_EQ(pdf_text(bench, before).find("safe to use"), std::string::npos);

  bench.expect(2,
               {"soak-test", "record", "--printer", "Front office", "--toner", "black, lot 7", "--outcome", "passed"});
  bench.expect(0, {"soak-test", "record", "--printer", "Front office", "--toner", "black, lot 7", "--adhesive",
                   "acrylic resin in acetone", "--outcome", "passed"});
  EXPECT_NE(bench.run(asked).out.find("safe to use with acrylic resin in acetone"), std::string::npos);
  const Json second = parsed(bench.expect(
      0, {"labels", "--reprint", run_made["run"], "--printer", "Front office", "--out", "@/sheets", "--json"}));
  const std::string after = only_file(bench, ".pdf", before);
  EXPECT_NE(pdf_text(bench, after).find("safe to use"), std::string::npos);
  // Without a printer's name nothing is known to hold, and neither when the test has expired.
  const std::vector<std::string> again{"labels", "--reprint", second["run"], "--out", "@/sheets"};
  EXPECT_EQ(bench.expect(0, again).out.find("safe to use"), std::string::npos);
  bench.clock().set(parse_time("2033-01-01T09:00:00Z"));
  EXPECT_EQ(bench.run(asked).out.find("safe to use"), std::string::npos);
  EXPECT_TRUE(parsed(bench.expect(0, {"soak-test", "list", "--json"}))["soak_tests"][0]["expired"]);
}

// --- fit and cutting -------------------------------------------------------------------------------------------------

TEST(LabelFit, a_nine_millimetre_bead_gets_a_tag_only_and_a_small_sherd_a_smaller_label) {
  Bench bench;
  std::string standard = read_text(real_file_system(), sample("standards/quillow_ferry.toml"));
  // A house whose rules say nothing of size: the label alone must find out.
  for (std::size_t at = 0; (at = standard.find("under_in = 0.5", at)) != std::string::npos;)
    standard.replace(at, 14, "under_in = 0.1");
  bench.write("standard.toml", standard);
  bench.write("catalog.csv",
              "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Unit,Level,Bag(s)\r\n"
              "16ZQ5/12.347,2031.4,artifact,bead,glass,sound,1,9,N10E20,2,B1\r\n"
              "16ZQ5/12.348,2031.4,artifact,sherd,ceramic,sound,1,14,N10E20,2,B2\r\n"
              "16ZQ5/12.349,2031.4,artifact,bowl,ceramic,sound,1,82,N10E20,2,B3\r\n");
  bench.expect(0, {"init", "--standard", "@/standard.toml"});
  bench.expect(0, {"intake", "@/catalog.csv"});
  const ToolRun said = bench.expect(0, {"plan", "--dry-run"});
  EXPECT_NE(said.out.find("no label fits: 50 % of 9 mm is 4.5 mm, and the smallest that would do is"),
            std::string::npos)
      << said.out;
  const Json plan = parsed(bench.expect(0, {"plan", "--json"}));
  EXPECT_EQ(plan["items"][0]["decision"], "tag only");
  ASSERT_EQ(plan["fitted"].size(), 1U);
  EXPECT_EQ(plan["fitted"][0]["number"], "16ZQ5/12.348");
  bench.expect(0, {"labels", "--for", "artifacts", "--out", "@/sheets"});
  const std::string file = only_file(bench, ".json");
  const Placements placements = read_placements_json(bench.read(file), file);
  ASSERT_EQ(placements.labels.size(), 2U);
  for (const PlacedLabel& label : placements.labels)
    if (label.number == "16ZQ5/12.348") {
      EXPECT_LE(std::max(label.w_mm, label.h_mm), 7.0);
      EXPECT_LT(label.font_pt, 5.0 + 1e-9);
    }
}

TEST(Cutting, the_run_says_what_cutting_takes_in_both_orders_and_writes_the_list) {
  for (const bool keep_order : {false, true}) {
    Bench bench;
    start_collection(bench, small_samples().back());
    bench.expect(0, {"plan"});
    std::vector<std::string> arguments{"labels", "--for", "artifacts", "--out", "@/sheets", "--json"};
    if (keep_order) arguments.emplace_back("--keep-order");
    const Json cost = parsed(bench.expect(0, arguments))["cutting"];
    if (keep_order) {
      EXPECT_EQ(cost["keeps_order"], true);
    }
    EXPECT_GE(cost["strokes"], cost["strokes_bound"]);
    EXPECT_GT(cost["other_order_strokes"], 0);
    std::string list;
    for (const std::string& file : bench.files())
      if (file.ends_with(".cutting.json")) list = bench.read(file);
    const Json cutting = Json::parse(list);
    int strokes = 0;
    for (const Json& step : cutting["steps"]) strokes += static_cast<int>(step["fence_mm"].size());
    EXPECT_EQ(strokes, cost["strokes"]);
  }
}

}  // namespace
}  // namespace sherdmark::testing
