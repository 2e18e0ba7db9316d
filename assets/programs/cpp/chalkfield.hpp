// Commands a robot from C++17 or later: one header, nothing else to install.
//
//   #include "chalkfield.hpp"
//
//   void autonomous(chalkfield::Bot& bot) {
//     bot["intake"].tell("run", 11);                          // any command of a mechanism
//     auto result = bot.drive.ahead(720, {{"speed", 900}});   // mm and mm/s; waits until the motion has ended
//     if (!result.ok) bot.note("short by " + std::to_string(result.left));
//     int away = bot["lift"].start("reach", "rack");          // goes on at once
//     bot["lift"].join(away);                                 // waits for its end
//     bot.until([&] { return bot["conveyor"].number("count") == 2; }, 1.5);
//   }
//
//   int main() {
//     chalkfield::Program program;
//     program.autonomous = autonomous;
//     program.side = "ochre";
//     program.start = {600, 450, 90};
//     return program.play();
//   }
//
// Standard output belongs to the simulator: print to std::cerr. Time is the simulator's: never sleep, but
// bot.wait(0.2). Millimetres, degrees, seconds, volts. What mechanisms and sensors can do tells
// `chalkfield show ROBOT.toml --calls`.
#pragma once

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <initializer_list>
#include <iostream>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace chalkfield {

inline constexpr int protocol = 1;

// Value is anything that JSON has.
class Value {
 public:
  enum class Kind { nothing, truth, number, text, list, object };

  Value() = default;
  Value(bool v) : kind_(Kind::truth), number_(v) {}
  Value(int v) : kind_(Kind::number), number_(v) {}
  Value(double v) : kind_(Kind::number), number_(v) {}
  Value(const char* v) : kind_(Kind::text), text_(v) {}
  Value(std::string v) : kind_(Kind::text), text_(std::move(v)) {}
  static Value list() { return Value(Kind::list); }
  static Value object() { return Value(Kind::object); }

  Kind kind() const { return kind_; }
  bool truth() const { return number_ != 0; }
  double number() const { return number_; }
  const std::string& text() const { return text_; }
  const std::vector<Value>& items() const { return items_; }
  bool has(const std::string& name) const { return members_.count(name) > 0; }

  // A member of an object; an error names one that is not there.
  const Value& operator[](const std::string& name) const {
    auto found = members_.find(name);
    if (found != members_.end()) return found->second;
    std::string known;
    for (const auto& member : members_) known += (known.empty() ? "" : ", ") + member.first;
    throw std::runtime_error("chalkfield: there is no \"" + name + "\" here: there is " + known);
  }
  Value& set(const std::string& name, Value v) {
    members_[name] = std::move(v);
    return *this;
  }
  Value& add(Value v) {
    items_.push_back(std::move(v));
    return *this;
  }

  std::string json() const {
    switch (kind_) {
      case Kind::nothing: return "null";
      case Kind::truth: return number_ != 0 ? "true" : "false";
      case Kind::number: return number_text();
      case Kind::text: return quoted(text_);
      case Kind::list: {
        std::string out = "[";
        for (const auto& item : items_) out += (out.size() > 1 ? "," : "") + item.json();
        return out + "]";
      }
      case Kind::object: break;
    }
    std::string out = "{";
    for (const auto& [name, member] : members_) out += (out.size() > 1 ? "," : "") + quoted(name) + ":" + member.json();
    return out + "}";
  }

  static Value parse(const std::string& json) {
    Reader reader{json, 0};
    Value v = reader.value();
    reader.blank();
    if (reader.at != json.size()) reader.fail();
    return v;
  }

 private:
  explicit Value(Kind kind) : kind_(kind) {}

  std::string number_text() const {
    if (!std::isfinite(number_)) return "null";
    char text[32];
    std::snprintf(text, sizeof text, "%.17g", number_);
    return text;
  }

  static std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (unsigned char c : text) {
      if (c == '"' || c == '\\') {
        out += '\\';
        out += static_cast<char>(c);
      } else if (c < 0x20) {
        char escaped[8];
        std::snprintf(escaped, sizeof escaped, "\\u%04x", c);
        out += escaped;
      } else {
        out += static_cast<char>(c);
      }
    }
    return out + "\"";
  }

  struct Reader {
    const std::string& in;
    std::size_t at;

    [[noreturn]] void fail() const { throw std::runtime_error("chalkfield: no JSON: " + in.substr(0, 200)); }
    void blank() {
      while (at < in.size() && (in[at] == ' ' || in[at] == '\t' || in[at] == '\r' || in[at] == '\n')) at++;
    }
    char next() {
      if (at >= in.size()) fail();
      return in[at++];
    }
    bool take(char c) {
      blank();
      if (at >= in.size() || in[at] != c) return false;
      at++;
      return true;
    }
    void need(const char* word) {
      for (; *word; word++)
        if (next() != *word) fail();
    }
    Value value() {
      blank();
      if (at >= in.size()) fail();
      switch (in[at]) {
        case '{': return object();
        case '[': return list();
        case '"': return Value(text());
        case 't': need("true"); return Value(true);
        case 'f': need("false"); return Value(false);
        case 'n': need("null"); return Value();
      }
      const char* begin = in.c_str() + at;
      char* end = nullptr;
      double number = std::strtod(begin, &end);
      if (end == begin) fail();
      at += static_cast<std::size_t>(end - begin);
      return Value(number);
    }
    Value object() {
      Value out = Value::object();
      next();
      if (take('}')) return out;
      do {
        blank();
        std::string name = text();
        if (!take(':')) fail();
        out.members_[name] = value();
      } while (take(','));
      if (!take('}')) fail();
      return out;
    }
    Value list() {
      Value out = Value::list();
      next();
      if (take(']')) return out;
      do out.items_.push_back(value());
      while (take(','));
      if (!take(']')) fail();
      return out;
    }
    std::string text() {
      if (next() != '"') fail();
      std::string out;
      for (char c = next(); c != '"'; c = next()) {
        if (c != '\\') {
          out += c;
          continue;
        }
        switch (c = next()) {
          case 'n': out += '\n'; break;
          case 't': out += '\t'; break;
          case 'r': out += '\r'; break;
          case 'b': out += '\b'; break;
          case 'f': out += '\f'; break;
          case 'u': rune(out); break;
          default: out += c;
        }
      }
      return out;
    }
    unsigned hex() {
      unsigned code = 0;
      for (int i = 0; i < 4; i++) {
        char c = next();
        if (c >= '0' && c <= '9') {
          code = code * 16 + static_cast<unsigned>(c - '0');
        } else if ((c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F')) {
          code = code * 16 + static_cast<unsigned>((c | 0x20) - 'a' + 10);
        } else {
          fail();
        }
      }
      return code;
    }
    void rune(std::string& out) {
      unsigned code = hex();
      if (code >= 0xd800 && code < 0xdc00) {
        need("\\u");
        code = 0x10000 + ((code - 0xd800) << 10) + (hex() - 0xdc00);
      }
      auto put = [&](unsigned byte) { out += static_cast<char>(byte); };
      if (code < 0x80) {
        put(code);
      } else if (code < 0x800) {
        put(0xc0 | code >> 6), put(0x80 | (code & 63));
      } else if (code < 0x10000) {
        put(0xe0 | code >> 12), put(0x80 | (code >> 6 & 63)), put(0x80 | (code & 63));
      } else {
        put(0xf0 | code >> 18), put(0x80 | (code >> 12 & 63)), put(0x80 | (code >> 6 & 63)), put(0x80 | (code & 63));
      }
    }
  };

  Kind kind_ = Kind::nothing;
  double number_ = 0;
  std::string text_;
  std::vector<Value> items_;
  std::map<std::string, Value> members_;
};

// Over is thrown where the routine stands when the phase or the rehearsal has ended. Let it pass.
struct Over {};

struct Pose {
  double x, y, heading;  // mm, mm, degrees counter-clockwise
};

// Result is how something that takes time has ended.
struct Result {
  bool ok = false;
  std::string why;  // "arrived", "timeout", "stalled", "cancelled"
  double left = 0;  // mm or degrees to its end
  double took = 0;  // s
};

// Mark is a mark that a sensor sees.
struct Mark {
  std::string name;
  double range, bearing;  // mm from the sensor, degrees to the left of its direction
  double x, y;            // mm: where the field has it
};

using Options = std::initializer_list<std::pair<const char*, Value>>;  // {{"speed", 900}, {"reverse", true}}

class Bot;

// Place is a line of the routine, for the record: as a default argument, that of the call.
struct Place {
  const char* file;
  int line;
};

// Word is a command's name with the place where it stands.
struct Word {
  std::string name;
  Place at;
  Word(const char* n, const char* f = __builtin_FILE(), int l = __builtin_LINE()) : name(n), at{f, l} {}
  Word(std::string n, const char* f = __builtin_FILE(), int l = __builtin_LINE()) : name(std::move(n)), at{f, l} {}
  Word(const char* n, Place p) : name(n), at(p) {}
};

// Part is a mechanism, or the drive base.
class Part {
 public:
  Part(Bot* bot, std::string name) : bot_(bot), name_(std::move(name)) {}

  // tell gives a command: bot["intake"].tell("run", 11).
  template <class... Values>
  void tell(const Word& command, Values... values) {
    begin(command, {Value(values)...}, false);
  }
  // await gives a command that takes time, and waits for its end: bot["lift"].await("reach", "rack", 2).
  template <class... Values>
  Result await(const Word& command, Values... values) {
    return join(begin(command, {Value(values)...}, true), command.at);
  }
  // start gives a command that takes time, and goes on; join waits for its end.
  template <class... Values>
  int start(const Word& command, Values... values) {
    return begin(command, {Value(values)...}, true);
  }
  Result join(int number, Place at = {__builtin_FILE(), __builtin_LINE()});

  // number and is are readings: bot["conveyor"].number("count"), bot["clamp"].is("holding").
  double number(const std::string& reading);
  bool is(const std::string& reading) { return number(reading) != 0; }

 protected:
  int begin(const Word& command, std::vector<Value> values, bool asked);

  Bot* bot_;
  std::string name_;
};

// Drive is the drive base. Motions wait for their end.
class Drive : public Part {
 public:
  explicit Drive(Bot* bot) : Part(bot, "drive") {}

  void volts(double left, double right, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    tell(Word("volts", at), left, right);
  }
  // mm/s, deg/s
  void rate(double speed, double turn, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    tell(Word("rate", at), speed, turn);
  }
  void arcade(double forward, double right, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    tell(Word("arcade", at), forward, right);
  }
  void tank(double left, double right, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    tell(Word("tank", at), left, right);
  }
  void stop(Place at = {__builtin_FILE(), __builtin_LINE()}) { tell(Word("stop", at)); }

  Result ahead(double distance, Options o = {}, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    return await(Word("ahead", at), distance, object(o));
  }
  Result face(double heading, Options o = {}, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    return await(Word("face", at), heading, object(o));
  }
  Result visit(double x, double y, Options o = {}, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    return await(Word("visit", at), x, y, object(o));
  }
  Result dock(double x, double y, double heading, Options o = {}, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    return await(Word("dock", at), x, y, heading, object(o));
  }
  Result trace(const std::vector<std::pair<double, double>>& points, Options o = {},
               Place at = {__builtin_FILE(), __builtin_LINE()}) {
    Value list = Value::list();
    for (auto [x, y] : points) list.add(Value::list().add(x).add(y));
    return await(Word("trace", at), list, object(o));
  }

 private:
  static Value object(Options o) {
    Value out = Value::object();
    for (const auto& [name, value] : o) out.set(name, value);
    return out;
  }
};

// Bot is the robot.
class Bot {
 public:
  explicit Bot(const Value& hello) : drive(this) {
    for (const auto& part : hello["robot"]["parts"].items()) {
      std::string name = part["name"].text();
      parts_.emplace(name, Part(this, name));
    }
  }
  Bot(const Bot&) = delete;

  Drive drive;

  // A mechanism by its name in the robot file.
  Part& operator[](const std::string& name) {
    auto found = parts_.find(name);
    if (found != parts_.end()) return found->second;
    std::string known;
    for (const auto& part : parts_) known += (known.empty() ? "" : ", ") + part.first;
    throw std::runtime_error("chalkfield: the robot has no \"" + name + "\": it has " + known);
  }
  // A sensor's reading: mm, degrees, or 0 and 1.
  double sense(const std::string& sensor) { return fresh()["sensors"][sensor].number(); }

  // kind and side of the piece before an optical sensor that tells pieces apart; "": no piece, or nobody's.
  std::string kind(const std::string& sensor) { return looked(sensor, "kind"); }
  std::string side(const std::string& sensor) { return looked(sensor, "side"); }
  // seen are the marks that a mark sensor sees, the nearest first.
  std::vector<Mark> seen(const std::string& sensor) {
    std::vector<Mark> out;
    const Value& look = fresh()["looks"][sensor];
    if (!look.has("seen")) return out;
    for (const auto& m : look["seen"].items()) {
      out.push_back({m["name"].text(), m["range"].number(), m["bearing"].number(), m["x"].number(), m["y"].number()});
    }
    return out;
  }
  // see is one of them by its name, none while it is not seen.
  std::optional<Mark> see(const std::string& sensor, const std::string& mark) {
    std::string known;
    for (const auto& m : begin_["marks"].items()) {
      if (m["name"].text() == mark) {
        for (const auto& one : seen(sensor))
          if (one.name == mark) return one;
        return std::nullopt;
      }
      known += (known.empty() ? "" : ", ") + m["name"].text();
    }
    throw std::runtime_error("chalkfield: the field has no mark \"" + mark + "\": it has " + known);
  }

  // where the robot believes to be: its odometry, not the truth.
  Pose where() {
    const Value& at = fresh()["belief"];
    return {at["x"].number(), at["y"].number(), at["heading"].number()};
  }
  // tells the odometry
  void here(Pose p, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    queue("here", {p.x, p.y, p.heading}, 0, at);
  }
  double battery() { return fresh()["battery"].number(); }        // V
  double air() { return fresh()["air"].number(); }                // kPa
  double clock() { return fresh()["time"].number(); }             // s since the start of the session
  void note(const std::string& text, Place at = {__builtin_FILE(), __builtin_LINE()}) { queue("note", {text}, 0, at); }
  // signal records a number over time, as the charts show it. The unit is fixed at the first call for a name.
  void signal(const std::string& name, double value, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    queue("signal", {name, value}, 0, at);
  }
  void signal(const std::string& name, double value, const std::string& unit,
              Place at = {__builtin_FILE(), __builtin_LINE()}) {
    queue("signal", {name, value, unit}, 0, at);
  }
  // result gives a number of the whole rehearsal, which studies may aim at. The last one of a name counts.
  void result(const std::string& name, double value, const std::string& unit = "",
              Place at = {__builtin_FILE(), __builtin_LINE()}) {
    queue("result", {name, value, unit}, 0, at);
  }
  double param(const std::string& name) const { return begin_["params"][name].number(); }
  // random is to seed random numbers with: the same rehearsal has the same.
  std::uint32_t random() const { return static_cast<std::uint32_t>(begin_["random"].number()); }

  // The driver's controller: "left_x", "left_y", "right_x", "right_y" from -1 to 1, and its buttons.
  double stick(const std::string& axis) { return fresh()["pad"][axis].number(); }
  bool held(const std::string& button) { return buttons(fresh()).count(button) > 0; }
  bool pressed(const std::string& button) { return held(button) && before_.count(button) == 0; }

  // wait lets time pass; without a number until the next tick.
  void wait(double seconds = 0, Place at = {__builtin_FILE(), __builtin_LINE()}) {
    at_ = at;
    double end = tick_["time"].number() + seconds;
    step(seconds, false);
    while (tick_["time"].number() < end - 1e-6) step(end - tick_["time"].number(), false);
  }
  // until asks now and at each tick until the condition is true or time is up, and returns whether it is true.
  bool until(const std::function<bool()>& condition, double timeout = std::numeric_limits<double>::infinity(),
             Place at = {__builtin_FILE(), __builtin_LINE()}) {
    at_ = at;
    double end = tick_["time"].number() + timeout;
    for (;;) {
      if (condition()) return true;
      if (clock() >= end - 1e-6) return false;
      step(0, false);
    }
  }

 private:
  friend class Part;
  friend class Program;

  int queue(const std::string& what, std::vector<Value> values, int id, Place at) {
    Value command = Value::object();
    command.set("do", what);
    place(command, at_ = at);
    if (!values.empty()) {
      Value list = Value::list();
      for (auto& v : values) list.add(std::move(v));
      command.set("with", std::move(list));
    }
    if (id != 0) command.set("id", id);
    queue_.add(std::move(command));
    return id;
  }

  std::string looked(const std::string& sensor, const char* what) {
    const Value& look = fresh()["looks"][sensor];
    return look.has(what) ? look[what].text() : "";
  }

  static void place(Value& out, Place at) {
    std::string file = at.file ? at.file : "";
    file = file.substr(file.find_last_of("/\\") + 1);
    if (!file.empty()) out.set("file", file).set("line", at.line);
  }

  // fresh is what is seen now, after what was commanded.
  const Value& fresh() {
    if (!queue_.items().empty()) step(0, true);
    return tick_;
  }

  void answer(double wait, bool again, bool done) {
    Value out = Value::object();
    out.set("answer", "commands").set("to", tick_["number"]).set("commands", std::move(queue_));
    if (wait > 0) out.set("wait", wait);
    if (again) out.set("again", true);
    if (done) out.set("done", true);
    if (!done) place(out, at_);
    queue_ = Value::list();
    say(out);
    listen();
  }

  void step(double wait, bool again) {
    answer(wait, again, false);
    if (!ticking() || tick_["phase"].text() != phase_) throw Over{};
  }

  static void say(const Value& message) {
    std::string line = message.json() + "\n";
    std::fwrite(line.data(), 1, line.size(), stdout);
    std::fflush(stdout);
  }

  bool ticking() const { return message_["message"].text() == "tick"; }

  void listen() {
    std::string line;
    if (!std::getline(std::cin, line)) std::exit(0);  // the simulator has ended
    message_ = Value::parse(line);
    if (!ticking()) return;
    if (tick_.has("pad")) before_ = buttons(tick_);
    tick_ = message_;
    for (const auto& r : tick_["results"].items()) {
      ended_[static_cast<int>(r["id"].number())] =
          Result{r["ok"].truth(), r["why"].text(), r["left"].number(), r["took"].number()};
    }
  }

  static std::set<std::string> buttons(const Value& tick) {
    std::set<std::string> out;
    for (const auto& b : tick["pad"]["buttons"].items()) out.insert(b.text());
    return out;
  }

  std::map<std::string, Part> parts_;
  std::map<int, Result> ended_;
  std::set<std::string> before_;
  Value message_, begin_, tick_, queue_ = Value::list();
  std::string phase_;
  int number_ = 0;
  Place at_ = {nullptr, 0};  // where the routine stands
};

inline int Part::begin(const Word& command, std::vector<Value> values, bool asked) {
  return bot_->queue(name_ + "." + command.name, std::move(values), asked ? ++bot_->number_ : 0, command.at);
}

inline Result Part::join(int number, Place at) {
  bot_->at_ = at;
  while (bot_->ended_.count(number) == 0) bot_->step(1e6, false);
  Result r = bot_->ended_[number];
  bot_->ended_.erase(number);
  return r;
}

inline double Part::number(const std::string& reading) { return bot_->fresh()["parts"][name_][reading].number(); }

// Param is a number that can be set from outside.
struct Param {
  std::string name;
  double normal, least, greatest;
};

// Program is what the robot is commanded by.
class Program {
 public:
  std::function<void(Bot&)> autonomous, driver;
  std::string title, side;
  std::optional<Pose> start;  // in the coordinates of the side
  std::vector<Param> params;

  // play commands the robot in as many rehearsals as the simulator asks for.
  int play() {
    std::ios::sync_with_stdio(false);
    std::string line;
    if (!std::getline(std::cin, line)) {
      std::cerr << "chalkfield: nobody speaks: start this program by chalkfield run --program\n";
      return 1;
    }
    Value hello = Value::parse(line);
    if (hello["protocol"].number() != protocol) {
      std::cerr << "chalkfield: the simulator speaks another protocol\n";
      return 1;
    }
    Bot bot(hello);
    Bot::say(ready());
    for (bot.listen();;) {
      if (bot.message_["message"].text() == "begin")
        rehearse(bot);
      else
        bot.listen();
    }
  }

 private:
  Value ready() const {
    Value out = Value::object(), phases = Value::list(), list = Value::list();
    if (autonomous) phases.add("auto");
    if (driver) phases.add("driver");
    out.set("answer", "ready").set("title", title).set("side", side).set("phases", phases);
    if (start) out.set("start", Value::object().set("x", start->x).set("y", start->y).set("heading", start->heading));
    for (const auto& p : params) {
      list.add(Value::object().set("name", p.name).set("default", p.normal).set("least", p.least).set("greatest",
                                                                                                     p.greatest));
    }
    if (!params.empty()) out.set("params", list);
    return out;
  }

  void rehearse(Bot& bot) const {
    bot.begin_ = bot.message_;
    bot.tick_ = Value::object();
    bot.ended_.clear();
    bot.at_ = {nullptr, 0};
    bot.listen();
    while (bot.ticking()) {
      bot.phase_ = bot.tick_["phase"].text();
      const auto& routine = bot.phase_ == "auto" ? autonomous : driver;
      try {
        if (routine) routine(bot);
        bot.answer(0, false, true);
      } catch (const Over&) {
      }
      bot.queue_ = Value::list();
    }
  }
};

}  // namespace chalkfield
