#include "sherdmark/ledger/boxing.h"

#include <fmt/format.h>

#include "ledger/core.h"
#include "ledger/custody_checks.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

void write_boxed(Ledger& ledger, const Actor& actor, const BagRecord& bag, const std::string& box,
                 const std::string& place) {
  JsonWriter out;
  out.begin_object().key("bag").text(bag.id).key("box").text(box).key("from").text(bag.box_id);
  out.key("place").text(place).end_object();
  core_of(ledger).write(actor, "boxed", out.take());
}

}  // namespace

void put_into_box(Ledger& ledger, const Actor& actor, const std::string& bag, const std::string& box) {
  const BagRecord record = need_bag(ledger, bag);
  refuse_lent(record);
  Statement row = core_of(ledger).db.prepare(
      "SELECT x.code, x.name, coalesce(n.path, '') FROM boxes x LEFT JOIN places n ON n.id = x.now"
      " WHERE x.code = ?1 OR x.name = ?1");
  if (!row.with(box).step()) throw unknown_thing("box", box, "write its name as it stands on the box");
  const std::string code = row.text(0), name = row.text(1), place = row.text(2);
  row.reset();
  if (record.box_id == code && record.now_place == place)
    throw usage_error(fmt::format("the bag {} lies in box \"{}\" already", group_identity(bag), printable(name)),
                      "nothing is to be done");
  write_boxed(ledger, actor, record, code, place);
}

void take_out_of_box(Ledger& ledger, const Actor& actor, const std::string& bag, const std::string& place) {
  const BagRecord record = need_bag(ledger, bag);
  refuse_lent(record);
  if (record.box_id.empty())
    throw usage_error(fmt::format("the bag {} lies in no box", group_identity(bag)), "move it without naming a box");
  write_boxed(ledger, actor, record, "", need_place(place));
}

}  // namespace sherdmark
