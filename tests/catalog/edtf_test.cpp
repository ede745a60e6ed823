#include "sherdmark/catalog/edtf.h"

#include <gtest/gtest.h>

namespace sherdmark {
namespace {

// Examples of the Extended Date/Time Format specification (Library of Congress, 4 February 2019; ISO 8601-2:2019).
// The intervals and the times with a zone were found in the library's published presentation of the format; the others
// are from memory.
TEST(Edtf, AcceptsTheExamplesOfLevelsZeroAndOne) {
  for (const char* text :
       {// level 0
        "1985-04-12", "1985-04", "1985", "1985-04-12T23:20:30", "1985-04-12T23:20:30Z", "1985-04-12T23:20:30-04",
        "1985-04-12T23:20:30+04:30", "2001-02-03T09:30:01", "2004-01-01T10:10:10Z", "2004-01-01T10:10:10+05:00",
        "1964/2008", "2004-06/2006-08", "2004-02-01/2005-02-08", "2004-02-01/2005-02", "2004-02-01/2005",
        "2005/2006-02",
        // level 1
        "Y170000002", "Y-170000002", "2001-21", "2001-24", "1984?", "2004-06~", "2004-06-11%", "201X", "20XX",
        "2004-XX", "1985-04-XX", "1985-XX-XX", "1985-04-12/..", "1985-04/..", "1985/..", "../1985-04-12", "../1985-04",
        "../1985", "1985-04-12/", "1985/", "/1985-04-12", "/1985", "-1985"})
    EXPECT_EQ(edtf_problem(text), std::nullopt) << text << ": " << edtf_problem(text).value_or("");
}

TEST(Edtf, RefusesLevelTwoAndWhatNeverWas) {
  for (const char* text : {"",
                           "..",
                           "/",
                           "../..",
                           "2031-02-30",
                           "2031-02-29",
                           "2031-13",
                           "2031-00",
                           "2031-1-2",
                           "31",
                           "2031-04-31",
                           "2031/03/10",
                           "2032/2031",
                           "2031-05/2031-04",
                           "1XXX",
                           "XXXX",
                           "X031",
                           "201X-04",
                           "1985-XX-12",
                           "156X-12-25",
                           "2001-25",
                           "2001-21-03",
                           "198x",
                           "2031 ",
                           "Y2031",
                           "-0000",
                           "{1667,1668}",
                           "[1667]",
                           "1985-04-12T25:00:00",
                           "1985-04T10:00:00",
                           "2004?-06",
                           "2031-03-10T10:00:00/2031",
                           "~2031"})
    EXPECT_NE(edtf_problem(text), std::nullopt) << text;
}

TEST(Edtf, KnowsLeapYears) {
  // Gregorian rule: years divisible by 4, not by 100 unless by 400.
  EXPECT_EQ(edtf_problem("2032-02-29"), std::nullopt);
  EXPECT_EQ(edtf_problem("2000-02-29"), std::nullopt);
  EXPECT_NE(edtf_problem("1900-02-29"), std::nullopt);
  EXPECT_NE(edtf_problem("1900-01-00"), std::nullopt);
}

struct DateCase {
  const char* written;
  const char* order;
  const char* edtf;     // empty: a problem
  const char* problem;  // part of it
};

// Common practice, no source; day number 47917 of the 1900 system counted from 1899-12-30.
TEST(Dates, AreReadTheWayPeopleWriteThemButNeverGuessed) {
  for (const DateCase& one : std::vector<DateCase>{{"2031-03-10", "mdy", "2031-03-10", ""},
                                                   {"3/10/2031", "mdy", "2031-03-10", ""},
                                                   {"3/10/2031", "dmy", "2031-10-03", ""},
                                                   {"10.3.2031", "dmy", "2031-03-10", ""},
                                                   {"2031/3/10", "dmy", "2031-03-10", ""},
                                                   {"10 March 2031", "ymd", "2031-03-10", ""},
                                                   {"Mar 10, 2031", "ymd", "2031-03-10", ""},
                                                   {"March 10th, 2031", "ymd", "2031-03-10", ""},
                                                   {"10-Mar-2031", "ymd", "2031-03-10", ""},
                                                   {"March 2031", "ymd", "2031-03", ""},
                                                   {"2031-03-10 00:00:00", "mdy", "2031-03-10", ""},
                                                   {"3/10/2031", "ymd", "", "cannot be told apart"},
                                                   {"25/3/2031", "mdy", "", "no such month"},
                                                   {"3/10/31", "mdy", "", "only two digits"},
                                                   {"10-Mar", "mdy", "", "shortens"},
                                                   {"10-Mar-31", "mdy", "", "two digits"},
                                                   {"2/30/2031", "mdy", "", "no day 30"},
                                                   {"2031-02-30", "mdy", "", "no day 30"},
                                                   {"47917", "mdy", "", "2031-03-10"},
                                                   {"last summer", "mdy", "", "no date"}}) {
    const DateReading reading = read_date(one.written, one.order);
    EXPECT_EQ(reading.edtf, one.edtf) << one.written;
    EXPECT_NE(reading.problem.find(one.problem), std::string::npos) << one.written << ": " << reading.problem;
    EXPECT_EQ(reading.problem.empty(), reading.remedy.empty()) << one.written;
  }
}

}  // namespace
}  // namespace sherdmark
