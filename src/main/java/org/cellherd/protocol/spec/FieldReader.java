package org.cellherd.protocol.spec;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.toml.TomlTable;

/** Reads one {@code [[message.field]]} table. */
final class FieldReader {

  private static final double WIDE = 1e15;

  private final TomlTable t;
  private final Map<String, Field> before;
  private final SpecContext context;

  /**
   * A reader.
   *
   * @param before fields of the message read so far, by name
   */
  FieldReader(TomlTable table, Map<String, Field> before, SpecContext context) {
    this.t = table;
    this.before = before;
    this.context = context;
  }

  Field read() {
    String name = t.text("name", "");
    Target target = target();
    Coding coding = coding();
    Optional<Condition> when = condition();
    Field.Repetition repetition = repetition(target, when);
    Field.Place place = place(coding);
    int first = first(target, repetition);
    return new Field(
        name.isEmpty() ? t.text("as", "") : name,
        place,
        coding,
        repetition,
        meaning(target, first, coding),
        when);
  }

  TextField readText(LineStyle.Kind style) {
    Target target = target();
    Coding coding = new Coding(Coding.Type.SIGNED, 64, WordOrder.BIG);
    Field.Repetition repetition =
        Field.Repetition.of(t.integer("repeat", 1, Channel.MAX_NUMBER, 1));
    int stride = t.integer("stride", 1, 64, 1);
    int first = first(target, repetition);
    Field field =
        new Field(
            t.text("name", t.text("as", "")),
            new Field.Place(-1, "", -1, 64, stride),
            coding,
            repetition,
            meaning(target, first, coding),
            Optional.empty());
    boolean csv = style == LineStyle.Kind.CSV;
    String key = csv ? "" : t.text("key");
    if (repetition.count() > 1 && !csv && !key.contains("{n}")) {
      t.problem("key", "must hold {n} where the field is repeated, such as \"cell{n}\"");
    }
    return new TextField(
        field,
        key,
        csv ? t.integer("column", 1, 256) : 0,
        style == LineStyle.Kind.XDR ? t.textLike("transducer", "[A-Z]", "one letter") : "",
        t.integer("decimals", 0, 9, 3),
        t.bool("optional", false));
  }

  private Target target() {
    return t.oneOf("as", Target.class, Target.EXTRA);
  }

  private Coding coding() {
    Optional<Field> parent = parent();
    return parent.isPresent() && !t.has("type")
        ? parent.get().coding()
        : new CodingReader(t, context).read();
  }

  private Optional<Field> parent() {
    Optional<String> over = t.textIfAny("over");
    if (over.isEmpty()) {
      return Optional.empty();
    }
    Field field = before.get(over.get());
    if (field == null) {
      t.problem("over", "names no field before this one of the same message");
    }
    return Optional.ofNullable(field);
  }

  private Field.Repetition repetition(Target target, Optional<Condition> when) {
    Optional<Field> parent = parent();
    if (parent.isPresent()) {
      return parent.get().repetition();
    }
    boolean isCounted = t.isText("repeat");
    String countField = isCounted ? t.text("repeat") : "";
    int count =
        isCounted ? t.integer("most", 1, Channel.MAX_NUMBER) : t.integer("repeat", 1, 1024, 1);
    String upTo = t.text("up_to", "");
    for (String key : List.of("repeat", "up_to")) {
      if (t.isText(key)) {
        checkName(key, t.text(key));
      }
    }
    if (!upTo.isEmpty() && !target.isNumbered()) {
      t.problem("up_to", "is for cells and sensors only");
    }
    return new Field.Repetition(count, countField, upTo, pageStep(target, count, when));
  }

  /** Rows go on from page to page; masks and single values stay unless that is stated. */
  private Optional<Field.PageStep> pageStep(Target target, int count, Optional<Condition> when) {
    if (context.pages().isEmpty()) {
      return Optional.empty();
    }
    Pages pages = context.pages().get();
    int by = t.integer("per_page", 0, Channel.MAX_NUMBER, target.isNumbered() ? count : 0);
    long from =
        when.filter(w -> w.field().equals(pages.field())).stream()
            .flatMap(w -> w.equals().stream())
            .min(Long::compare)
            .orElse(pages.first());
    return by == 0 ? Optional.empty() : Optional.of(new Field.PageStep(pages.field(), from, by));
  }

  /** A field before this one of the same message, or {@code message.field} of an earlier one. */
  private void checkName(String key, String name) {
    Field field = before.get(name);
    field = field == null ? context.earlier().get(name) : field;
    if (field == null) {
      t.problem(
          key,
          "is \""
              + name
              + "\", allowed: the name of a field before this one, or MESSAGE.FIELD of a message"
              + " before this one");
    } else if (!field.repetition().countField().isEmpty() || field.repetition().count() != 1) {
      t.problem(key, "is \"" + name + "\", which is repeated itself");
    }
  }

  private Field.Place place(Coding coding) {
    int whole = Math.min(64, coding.bits());
    int bit = t.integer("bit", 0, 63, -1);
    int bits = t.integer("bits", 1, 64, bit < 0 ? whole : 1);
    if (bit >= 0 && bit + bits > coding.bits()) {
      t.problem("bit", "lies outside the " + size(coding));
    }
    int at = t.integer("at", 0, 4095, -1);
    if (context.isRegisters() && t.has("register")) {
      at = context.byteOf(t, t.integer("register", 0, 1_000_000));
    }
    String over = parent().isPresent() ? t.text("over") : "";
    return new Field.Place(startBit(at, coding), over, bit, bits, stride(coding));
  }

  private static String size(Coding coding) {
    return coding.isWholeBytes()
        ? Spoken.counted(coding.bytes(), "byte")
        : Spoken.counted(coding.bits(), "bit");
  }

  private int startBit(int at, Coding coding) {
    int inByte = t.integer("at_bit", 0, 7, 0);
    if (inByte > 0 && at < 0) {
      t.problem("at_bit", "needs at: the byte in which the bit is");
    }
    boolean crosses = coding.order() == WordOrder.BIG || coding.order() == WordOrder.LITTLE;
    if (inByte > 0 && !(coding.isNumberOfBits() && crosses)) {
      t.problem("at_bit", "is for whole numbers of order big or little");
      return 8 * at;
    }
    return at < 0 ? -1 : 8 * at + inByte;
  }

  /** Bits from one to the next: written in bytes; unwritten they stand without a space. */
  private int stride(Coding coding) {
    int bytes = t.integer("stride", coding.bytes(), 1024, 0);
    return bytes == 0 ? coding.bits() : 8 * bytes;
  }

  private int first(Target target, Field.Repetition repetition) {
    if (target.isMask()) {
      return t.integer("shift", 0, 63, 0);
    }
    int first = t.integer("number", 1, Channel.MAX_NUMBER, 1);
    if (target.isNumbered() && first + repetition.count() - 1 > Channel.MAX_NUMBER) {
      t.problem("repeat", "reaches beyond number " + Channel.MAX_NUMBER);
    }
    return first;
  }

  private Field.Meaning meaning(Target target, int first, Coding coding) {
    boolean numeric = !target.units().isEmpty();
    String unit = unit(target);
    double factor = target.factor(unit).orElse(1);
    return new Field.Meaning(
        target,
        first,
        conversion(target, unit, factor),
        t.rawNumbers("missing"),
        numeric || target == Target.EXTRA ? limits(target, unit, factor) : Field.Limits.NONE,
        t.rawNumbers("on"),
        direction(target),
        constant(coding),
        labels(unit, target));
  }

  private String unit(Target target) {
    if (target.units().isEmpty()) {
      return t.text("unit", "");
    }
    return t.oneOf("unit", List.copyOf(target.units().keySet()));
  }

  private Conversion conversion(Target target, String unit, double factor) {
    double scale = t.decimal("scale", -WIDE, WIDE, 1);
    if (scale == 0) {
      t.problem("scale", "is 0, which would lose the value");
      scale = 1;
    }
    double offset = t.decimal("offset", -WIDE, WIDE, 0);
    boolean reversed =
        target == Target.CURRENT
            && t.oneOf("positive", List.of("charging", "discharging"), "charging")
                .equals("discharging");
    if (target == Target.CURRENT && !t.has("positive") && !t.has("direction")) {
      t.problem("positive", "is missing, allowed: charging, discharging (which sign is which?)");
    }
    Optional<String> thermistor = t.textIfAny("thermistor");
    if (thermistor.isPresent()) {
      return context.thermistor(t, thermistor.get(), Scaling.of(scale, offset, 1));
    }
    double kelvin = target == Target.TEMPERATURE && unit.equals("K") ? -273.15 : 0;
    return Scaling.of(scale, offset + kelvin, reversed ? -factor : factor);
  }

  private Field.Limits limits(Target target, String unit, double factor) {
    OptionalDouble least = t.decimalIfAny("min", -WIDE, WIDE);
    OptionalDouble most = t.decimalIfAny("max", -WIDE, WIDE);
    Field.Outside outside =
        t.has("out_of_range")
            ? outside(t.oneOf("out_of_range", List.of("refuse", "missing")))
            : target.isMeasured() ? Field.Outside.REFUSE : Field.Outside.DOUBT;
    double shift = unit.equals("K") ? -273.15 : 0;
    double low = least.isPresent() ? inside(least.getAsDouble() + shift, factor) : -1 / 0.0;
    double high = most.isPresent() ? inside(most.getAsDouble() + shift, factor) : 1 / 0.0;
    if (low > high) {
      t.problem("min", "is above max");
    }
    return new Field.Limits(low, high, outside);
  }

  private static Field.Outside outside(String word) {
    return word.equals("refuse") ? Field.Outside.REFUSE : Field.Outside.MISSING;
  }

  private static double inside(double value, double factor) {
    return Math.rint(value * factor * 1e6) / 1e6;
  }

  private Optional<Direction> direction(Target target) {
    return t.tableIfAny("direction")
        .map(
            d -> {
              if (target != Target.CURRENT) {
                t.problem("direction", "is for a current only");
              }
              String name = d.text("field");
              checkName("direction", name);
              Direction direction =
                  new Direction(
                      name,
                      d.rawNumbers("charging"),
                      d.rawNumbers("discharging"),
                      d.rawNumbers("idle"));
              if (direction.charging().isEmpty() || direction.discharging().isEmpty()) {
                d.problem("charging and discharging need one value each at least");
                return new Direction(name, List.of(0L), List.of(1L), List.of());
              }
              return direction;
            });
  }

  private Field.Constant constant(Coding coding) {
    boolean required = t.has("must_be");
    String key = required ? "must_be" : "value";
    if (coding.type() == Coding.Type.TEXT) {
      return new Field.Constant(0, t.text(key, ""), required);
    }
    return new Field.Constant(t.longInteger(key, Long.MIN_VALUE, Long.MAX_VALUE, 0), "", required);
  }

  private Field.Labels labels(String unit, Target target) {
    Map<Long, String> values = new LinkedHashMap<>();
    t.tableIfAny("names").ifPresent(n -> words(n, values));
    Map<Long, String> bits = new LinkedHashMap<>();
    t.tableIfAny("bit_names").ifPresent(n -> words(n, bits));
    Map<Integer, String> byBit = new LinkedHashMap<>();
    bits.forEach((bit, word) -> byBit.put(bit.intValue(), word));
    boolean named = !values.isEmpty() || !bits.isEmpty();
    boolean free = target == Target.EXTRA || target == Target.IDENTITY;
    boolean shown = t.bool("show", named || (free && t.has("name")));
    return new Field.Labels(unit, values, byBit, shown);
  }

  private static void words(TomlTable table, Map<Long, String> words) {
    for (String key : table.keys()) {
      String word = table.text(key);
      if (key.matches("-?[0-9]{1,18}")) {
        words.put(Long.parseLong(key), word);
      } else if (key.matches("0x[0-9A-Fa-f]{1,16}")) {
        words.put(Long.parseUnsignedLong(key.substring(2), 16), word);
      } else {
        table.problem(key, "is no whole number");
      }
    }
  }

  private Optional<Condition> condition() {
    return t.tableIfAny("when")
        .map(
            w -> {
              String name = w.text("field");
              checkName("when", name);
              int bit = w.integer("bit", 0, 63, -1);
              List<Long> equals = w.rawNumbers("equals");
              if ((bit < 0) == equals.isEmpty()) {
                w.problem("needs either bit or equals");
              }
              return new Condition(name, bit, equals);
            });
  }
}
