import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import java.util.function.Predicate;

/**
 * Commands a robot from Java 11 or later: one file, nothing else to install.
 *
 * <pre>
 *   static void auto(Chalkfield.Bot bot) {
 *     bot.part("intake").tell("run", 11);                    // any command of a mechanism
 *     var result = bot.drive.ahead(720, "speed", 900);       // mm and mm/s; waits until the motion has ended
 *     if (!result.ok) bot.note("short by " + result.left);
 *     int away = bot.part("lift").begin("reach", "rack");    // goes on at once
 *     bot.part("lift").join(away);                           // waits for its end
 *     bot.until(() -> bot.part("conveyor").number("count") == 2, 1.5);
 *   }
 *
 *   public static void main(String[] args) {
 *     new Chalkfield().auto(Mine::auto).side("ochre").start(600, 450, 90).play();
 *   }
 * </pre>
 *
 * Standard output belongs to the simulator: System.out prints to standard error while play runs. Time is the
 * simulator's: never sleep, but bot.pause(0.2). Millimetres, degrees, seconds, volts. What mechanisms and sensors can
 * do tells {@code chalkfield show ROBOT.toml --calls}.
 */
public final class Chalkfield {
  private static final int PROTOCOL = 1;

  private final Map<String, Consumer<Bot>> routines = new LinkedHashMap<>();
  private final Map<String, Object> ready = new LinkedHashMap<>();
  private final List<Object> params = new ArrayList<>();

  public Chalkfield() {
    ready.put("answer", "ready");
  }

  /** What the robot does in the autonomous phase. */
  public Chalkfield auto(Consumer<Bot> routine) {
    routines.put("auto", routine);
    return this;
  }

  /** What it does in a driver phase. */
  public Chalkfield driver(Consumer<Bot> routine) {
    routines.put("driver", routine);
    return this;
  }

  public Chalkfield title(String title) {
    ready.put("title", title);
    return this;
  }

  /** The side in whose coordinates it is written. */
  public Chalkfield side(String side) {
    ready.put("side", side);
    return this;
  }

  /** Where the robot stands at first. */
  public Chalkfield start(double x, double y, double heading) {
    ready.put("start", Map.of("x", x, "y", y, "heading", heading));
    return this;
  }

  /** A number that can be set from outside. */
  public Chalkfield param(String name, double normal, double least, double greatest) {
    params.add(Map.of("name", name, "default", normal, "least", least, "greatest", greatest));
    return this;
  }

  /** Commands the robot in as many rehearsals as the simulator asks for. */
  public void play() {
    PrintStream out = new PrintStream(System.out, false, StandardCharsets.UTF_8);
    System.setOut(System.err);
    var in = new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8), 1 << 16);
    var line = new Line(in, out);
    Map<String, Object> hello = line.listen();
    if (Json.number(hello.get("protocol")) != PROTOCOL) {
      System.err.println("Chalkfield: the simulator speaks another protocol");
      System.exit(1);
    }
    ready.put("phases", new ArrayList<Object>(routines.keySet()));
    ready.put("params", params);
    line.say(ready);
    var bot = new Bot(line, hello);
    bot.listen();
    while (true) {
      if ("begin".equals(bot.message.get("message"))) {
        bot.rehearse(routines);
      } else {
        bot.listen();
      }
    }
  }

  /** Thrown where the routine stands when the phase or the rehearsal has ended. Let it pass. */
  public static final class Over extends Error {
    private static final long serialVersionUID = 1;

    Over() {
      super("the phase is over", null, false, false);
    }
  }

  /** x and y in mm, heading in degrees counter-clockwise. */
  public static final class Pose {
    public final double x;
    public final double y;
    public final double heading;

    Pose(double x, double y, double heading) {
      this.x = x;
      this.y = y;
      this.heading = heading;
    }
  }

  /** How something that takes time has ended. */
  public static final class Result {
    public final boolean ok;
    /** "arrived", "timeout", "stalled", "cancelled". */
    public final String why;
    /** mm or degrees to its end. */
    public final double left;
    /** s. */
    public final double took;

    Result(Map<String, Object> message) {
      ok = (Boolean) message.get("ok");
      why = (String) message.get("why");
      left = Json.number(message.get("left"));
      took = Json.number(message.get("took"));
    }
  }

  /** A mark that a sensor sees. */
  public static final class Mark {
    public final String name;
    /** mm from the sensor. */
    public final double range;
    /** Degrees to the left of its direction. */
    public final double bearing;
    /** mm: where the field has it. */
    public final double x;
    public final double y;

    Mark(Map<String, Object> message) {
      name = (String) message.get("name");
      range = Json.number(message.get("range"));
      bearing = Json.number(message.get("bearing"));
      x = Json.number(message.get("x"));
      y = Json.number(message.get("y"));
    }
  }

  /** A mechanism, or the drive base. */
  public static class Part {
    final Bot bot;
    private final String name;

    Part(Bot bot, String name) {
      this.bot = bot;
      this.name = name;
    }

    /** Gives a command: bot.part("intake").tell("run", 11). */
    public void tell(String command, Object... values) {
      bot.queue(name + "." + command, List.of(values), 0);
    }

    /** Gives a command that takes time, and waits for its end: bot.part("lift").await("reach", "rack", 2). */
    public Result await(String command, Object... values) {
      return join(begin(command, values));
    }

    /** Gives a command that takes time, and goes on; join waits for its end. */
    public int begin(String command, Object... values) {
      return bot.queue(name + "." + command, List.of(values), ++bot.number);
    }

    /** Waits for the end of what was begun. */
    public Result join(int number) {
      while (!bot.ended.containsKey(number)) {
        bot.step(1e6, false);
      }
      return bot.ended.remove(number);
    }

    /** A reading that is a number: bot.part("conveyor").number("count"). */
    public double number(String reading) {
      return Json.number(reading(reading));
    }

    /** A reading that is true or false: bot.part("clamp").is("holding"). */
    public boolean is(String reading) {
      return (Boolean) reading(reading);
    }

    private Object reading(String reading) {
      Object value = Json.object(Json.object(bot.fresh().get("parts")).get(name)).get(reading);
      if (value == null) {
        throw new IllegalArgumentException(name + " has no reading \"" + reading + "\": it has "
            + Json.object(Json.object(bot.fresh().get("parts")).get(name)).keySet());
      }
      return value;
    }
  }

  /** The drive base. Motions wait for their end; options are names and values: "speed", 900, "reverse", true. */
  public static final class Drive extends Part {
    Drive(Bot bot) {
      super(bot, "drive");
    }

    public void volts(double left, double right) {
      tell("volts", left, right);
    }

    /** mm/s and deg/s. */
    public void rate(double speed, double turn) {
      tell("rate", speed, turn);
    }

    public void arcade(double forward, double right) {
      tell("arcade", forward, right);
    }

    public void tank(double left, double right) {
      tell("tank", left, right);
    }

    public void stop() {
      tell("stop");
    }

    public Result ahead(double distance, Object... options) {
      return await("ahead", distance, object(options));
    }

    public Result face(double heading, Object... options) {
      return await("face", heading, object(options));
    }

    public Result visit(double x, double y, Object... options) {
      return await("visit", x, y, object(options));
    }

    public Result dock(double x, double y, double heading, Object... options) {
      return await("dock", x, y, heading, object(options));
    }

    /** Points are {x, y}. */
    public Result trace(double[][] points, Object... options) {
      List<Object> list = new ArrayList<>();
      for (double[] point : points) {
        list.add(List.of(point[0], point[1]));
      }
      return await("trace", list, object(options));
    }

    private static Map<String, Object> object(Object... options) {
      Map<String, Object> out = new LinkedHashMap<>();
      for (int i = 0; i + 1 < options.length; i += 2) {
        out.put((String) options[i], options[i + 1]);
      }
      return out;
    }
  }

  /** The robot. */
  public static final class Bot {
    public final Drive drive = new Drive(this);

    private final Line line;
    private final Map<String, Part> parts = new HashMap<>();
    private Map<String, Object> message = Map.of();
    private Map<String, Object> begin = Map.of();
    private Map<String, Object> tick = Map.of();
    private List<Object> queue = new ArrayList<>();
    private List<Object> before = List.of();
    private final Map<Integer, Result> ended = new HashMap<>();
    private String phase = "";
    private int number;

    Bot(Line line, Map<String, Object> hello) {
      this.line = line;
      for (Object part : Json.list(Json.object(hello.get("robot")).get("parts"))) {
        String name = (String) Json.object(part).get("name");
        parts.put(name, new Part(this, name));
      }
    }

    /** A mechanism by its name in the robot file. */
    public Part part(String name) {
      Part part = parts.get(name);
      if (part == null) {
        throw new IllegalArgumentException("the robot has no \"" + name + "\": it has " + parts.keySet());
      }
      return part;
    }

    /** A sensor's reading: mm, degrees, or 0 and 1. */
    public double sense(String sensor) {
      Object reading = Json.object(fresh().get("sensors")).get(sensor);
      if (reading == null) {
        throw new IllegalArgumentException("there is no sensor \"" + sensor + "\": there is "
            + Json.object(fresh().get("sensors")).keySet());
      }
      return Json.number(reading);
    }

    /** The kind of the piece before an optical sensor that tells pieces apart; null: no piece. */
    public String kind(String sensor) {
      return (String) look(sensor).get("kind");
    }

    /** The side of that piece; null: no piece, or nobody's. */
    public String side(String sensor) {
      return (String) look(sensor).get("side");
    }

    /** The marks that a mark sensor sees, the nearest first. */
    public List<Mark> seen(String sensor) {
      List<Mark> out = new ArrayList<>();
      for (Object one : Json.list(look(sensor).getOrDefault("seen", List.of()))) {
        out.add(new Mark(Json.object(one)));
      }
      return out;
    }

    /** One of them by its name; null while it is not seen. */
    public Mark see(String sensor, String name) {
      List<String> known = new ArrayList<>();
      for (Object mark : Json.list(begin.get("marks"))) {
        known.add((String) Json.object(mark).get("name"));
      }
      if (!known.contains(name)) {
        throw new IllegalArgumentException("the field has no mark \"" + name + "\": it has " + known);
      }
      return seen(sensor).stream().filter(mark -> mark.name.equals(name)).findFirst().orElse(null);
    }

    private Map<String, Object> look(String sensor) {
      Object look = Json.object(fresh().get("looks")).get(sensor);
      if (look == null) {
        throw new IllegalArgumentException("there is no sensor \"" + sensor + "\" that looks: there is "
            + Json.object(fresh().get("looks")).keySet());
      }
      return Json.object(look);
    }

    /** Where the robot believes to be: its odometry, not the truth. */
    public Pose where() {
      Map<String, Object> at = Json.object(fresh().get("belief"));
      return new Pose(Json.number(at.get("x")), Json.number(at.get("y")), Json.number(at.get("heading")));
    }

    /** Tells the odometry where the robot is. */
    public void here(double x, double y, double heading) {
      queue("here", List.of(x, y, heading), 0);
    }

    /** V at its terminals. */
    public double battery() {
      return Json.number(fresh().get("battery"));
    }

    /** kPa in the reservoir. */
    public double air() {
      return Json.number(fresh().get("air"));
    }

    /** s since the start of the session. */
    public double clock() {
      return Json.number(fresh().get("time"));
    }

    /** Leaves a line in the record. */
    public void note(String text) {
      queue("note", List.of(text), 0);
    }

    /** Records a number over time, as the charts show it. The unit is fixed at the first call for a name. */
    public void signal(String name, double value, String unit) {
      queue("signal", List.of(name, value, unit), 0);
    }

    public void signal(String name, double value) {
      queue("signal", List.of(name, value), 0);
    }

    /** Gives a number of the whole rehearsal, which studies may aim at. The last one of a name counts. */
    public void result(String name, double value, String unit) {
      queue("result", List.of(name, value, unit), 0);
    }

    public void result(String name, double value) {
      queue("result", List.of(name, value), 0);
    }

    /** The value in force of a parameter. */
    public double param(String name) {
      Map<String, Object> params = Json.object(begin.get("params"));
      if (!params.containsKey(name)) {
        throw new IllegalArgumentException("there is no parameter \"" + name + "\": there is " + params.keySet());
      }
      return Json.number(params.get(name));
    }

    /** To seed java.util.Random with: the same rehearsal has the same. */
    public long random() {
      return (long) Json.number(begin.get("random"));
    }

    /** The driver's controller: "left_x", "left_y", "right_x", "right_y", from -1 to 1. */
    public double stick(String axis) {
      return Json.number(Json.object(fresh().get("pad")).get(axis));
    }

    /** Whether a button of the driver's controller is down. */
    public boolean held(String button) {
      return buttons(fresh()).contains(button);
    }

    /** Whether it went down since the last tick that was told. */
    public boolean pressed(String button) {
      return held(button) && !before.contains(button);
    }

    /** Lets time pass; 0: until the next tick. */
    public void pause(double seconds) {
      double end = Json.number(tick.get("time")) + seconds;
      step(seconds, false);
      while (Json.number(tick.get("time")) < end - 1e-6) {
        step(end - Json.number(tick.get("time")), false);
      }
    }

    /** Asks now and at each tick until it is true or time is up, and returns whether it is true. */
    public boolean until(BooleanSupplier condition, double timeout) {
      double end = Json.number(tick.get("time")) + timeout;
      while (true) {
        if (condition.getAsBoolean()) {
          return true;
        }
        if (clock() >= end - 1e-6) {
          return false;
        }
        step(0, false);
      }
    }

    private int queue(String what, List<?> values, int id) {
      Map<String, Object> command = new LinkedHashMap<>();
      command.put("do", what);
      command.put("with", values);
      if (id != 0) {
        command.put("id", id);
      }
      place(command);
      queue.add(command);
      return id;
    }

    /** The line of the routine that calls, for the record. */
    private static void place(Map<String, Object> out) {
      Predicate<StackWalker.StackFrame> own = frame ->
          !frame.getClassName().startsWith("Chalkfield") && !frame.getClassName().startsWith("java.");
      StackWalker.getInstance().walk(frames -> frames.filter(own).findFirst()).ifPresent(frame -> {
        if (frame.getFileName() != null && frame.getLineNumber() > 0) {
          out.put("file", frame.getFileName());
          out.put("line", frame.getLineNumber());
        }
      });
    }

    /** What is seen now, after what was commanded. */
    private Map<String, Object> fresh() {
      if (!queue.isEmpty()) {
        step(0, true);
      }
      return tick;
    }

    private void answer(double wait, boolean again, boolean done) {
      Map<String, Object> out = new LinkedHashMap<>();
      out.put("answer", "commands");
      out.put("to", tick.get("number"));
      out.put("commands", queue);
      out.put("wait", wait);
      out.put("again", again);
      out.put("done", done);
      if (!done) {
        place(out);
      }
      line.say(out);
      queue = new ArrayList<>();
      listen();
    }

    private void step(double wait, boolean again) {
      answer(wait, again, false);
      if (!ticking() || !phase.equals(tick.get("phase"))) {
        throw new Over();
      }
    }

    private boolean ticking() {
      return "tick".equals(message.get("message"));
    }

    private void listen() {
      message = line.listen();
      if (!ticking()) {
        return;
      }
      if (tick.containsKey("pad")) {
        before = buttons(tick);
      }
      tick = message;
      for (Object result : Json.list(tick.get("results"))) {
        Map<String, Object> one = Json.object(result);
        ended.put((int) Json.number(one.get("id")), new Result(one));
      }
    }

    private static List<Object> buttons(Map<String, Object> tick) {
      return Json.list(Json.object(tick.get("pad")).get("buttons"));
    }

    private void rehearse(Map<String, Consumer<Bot>> routines) {
      begin = message;
      tick = Map.of();
      ended.clear();
      listen();
      while (ticking()) {
        phase = (String) tick.get("phase");
        Consumer<Bot> routine = routines.get(phase);
        try {
          if (routine != null) {
            routine.accept(this);
          }
          answer(0, false, true);
        } catch (Over over) {
          queue = new ArrayList<>();
        }
      }
    }
  }

  /** The line to the simulator. */
  private static final class Line {
    private final BufferedReader in;
    private final PrintStream out;

    Line(BufferedReader in, PrintStream out) {
      this.in = in;
      this.out = out;
    }

    Map<String, Object> listen() {
      try {
        String line = in.readLine();
        if (line == null) {
          System.exit(0); // the simulator has ended
        }
        return Json.object(new Json(line).read());
      } catch (IOException e) {
        System.exit(0);
        return null;
      }
    }

    void say(Object message) {
      var text = new StringBuilder();
      Json.write(text, message);
      out.append(text).append('\n').flush();
    }
  }

  /** As much of JSON as the messages need. */
  private static final class Json {
    private final String in;
    private int at;

    Json(String in) {
      this.in = in;
    }

    static double number(Object value) {
      return ((Number) value).doubleValue();
    }

    @SuppressWarnings("unchecked")
    static Map<String, Object> object(Object value) {
      return (Map<String, Object>) value;
    }

    @SuppressWarnings("unchecked")
    static List<Object> list(Object value) {
      return (List<Object>) value;
    }

    static void write(StringBuilder out, Object value) {
      if (value instanceof Map) {
        String before = "{";
        for (var member : ((Map<?, ?>) value).entrySet()) {
          out.append(before);
          write(out, member.getKey());
          out.append(':');
          write(out, member.getValue());
          before = ",";
        }
        out.append(before.equals("{") ? "{}" : "}");
      } else if (value instanceof List) {
        String before = "[";
        for (Object item : (List<?>) value) {
          out.append(before);
          write(out, item);
          before = ",";
        }
        out.append(before.equals("[") ? "[]" : "]");
      } else if (value instanceof String) {
        quote(out, (String) value);
      } else if (value instanceof Double && !Double.isFinite((Double) value)) {
        out.append("null");
      } else if (value instanceof Double && whole((Double) value)) {
        out.append(((Double) value).longValue());
      } else {
        out.append(value);
      }
    }

    private static boolean whole(double value) {
      return value == Math.rint(value) && Math.abs(value) < 1e15;
    }

    private static void quote(StringBuilder out, String text) {
      out.append('"');
      for (char c : text.toCharArray()) {
        if (c == '"' || c == '\\') {
          out.append('\\').append(c);
        } else if (c < 0x20) {
          out.append(String.format("\\u%04x", (int) c));
        } else {
          out.append(c);
        }
      }
      out.append('"');
    }

    Object read() {
      blank();
      char c = in.charAt(at);
      if (c == '{') {
        return readObject();
      }
      if (c == '[') {
        return readList();
      }
      if (c == '"') {
        return readText();
      }
      int begin = at;
      while (at < in.length() && ",]} \t".indexOf(in.charAt(at)) < 0) {
        at++;
      }
      String word = in.substring(begin, at);
      switch (word) {
        case "true":
          return true;
        case "false":
          return false;
        case "null":
          return null;
        default:
          return Double.valueOf(word);
      }
    }

    private Map<String, Object> readObject() {
      Map<String, Object> out = new HashMap<>();
      at++;
      while (!take('}')) {
        blank();
        String name = readText();
        take(':');
        out.put(name, read());
        take(',');
      }
      return out;
    }

    private List<Object> readList() {
      List<Object> out = new ArrayList<>();
      at++;
      while (!take(']')) {
        out.add(read());
        take(',');
      }
      return out;
    }

    private String readText() {
      var out = new StringBuilder();
      for (at++; in.charAt(at) != '"'; at++) {
        char c = in.charAt(at);
        if (c == '\\') {
          c = in.charAt(++at);
          if (c == 'u') {
            c = (char) Integer.parseInt(in.substring(at + 1, at + 5), 16);
            at += 4;
          } else if ("nrtbf".indexOf(c) >= 0) {
            c = "\n\r\t\b\f".charAt("nrtbf".indexOf(c));
          }
        }
        out.append(c);
      }
      at++;
      return out.toString();
    }

    private void blank() {
      while (in.charAt(at) <= ' ') {
        at++;
      }
    }

    private boolean take(char c) {
      blank();
      if (in.charAt(at) != c) {
        return false;
      }
      at++;
      return true;
    }
  }
}
