package org.cellherd.protocol.spec;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.pack.Facts;

/** Says what a described field means: arithmetic, sign, limits, words of its values. */
final class FieldWords {

  private static final int DECIMALS = 9;

  private FieldWords() {}

  /** Everything but where it stands, in the order in which one reads a sheet. */
  static List<String> of(Field field) {
    Field.Meaning m = field.meaning();
    List<String> words = new ArrayList<>();
    add(words, !m.labels().unit().isEmpty() || !isPlain(m), () -> arithmetic(m));
    add(words, m.target() == Target.CURRENT && m.direction().isEmpty(), () -> sign(m));
    m.direction().ifPresent(d -> words.add(direction(d)));
    add(words, !m.truth().isEmpty(), () -> "on: " + m.truth());
    numbers(field, words);
    add(words, !m.missing().isEmpty(), () -> "missing: " + m.missing());
    limits(m, words);
    field.when().ifPresent(w -> words.add("only when " + w.field() + when(w)));
    add(words, m.constant().required(), () -> "must be " + constant(m));
    boolean isPlayed = m.constant().value() != 0 || !m.constant().text().isEmpty();
    add(words, isPlayed && !m.constant().required(), () -> "simulated as " + constant(m));
    values(m.labels().values(), words);
    values(new TreeMap<>(m.labels().bits()), "bit ", words);
    add(words, m.target() == Target.EXTRA && !m.labels().shown(), () -> "not shown");
    return words;
  }

  private static String direction(Direction d) {
    return "direction given by "
        + d.field()
        + ": charging "
        + d.charging()
        + ", discharging "
        + d.discharging()
        + (d.idle().isEmpty() ? "" : ", idle " + d.idle());
  }

  /** The numbers of a field under names, as far as it has them: unit, scale, offset and so on. */
  static void numbers(Field field, Facts.Builder facts) {
    Field.Meaning m = field.meaning();
    facts.put("unit", m.labels().unit());
    if (m.conversion() instanceof Scaling) {
      facts.put("scale", scale(m), DECIMALS).put("offset", offset(m), DECIMALS);
    }
    if (m.target() == Target.CURRENT && m.direction().isEmpty()) {
      facts.put("positive", positive(m));
    }
    facts.put("missing", m.missing());
    double factor = m.target().factor(m.labels().unit()).orElse(1);
    if (Double.isFinite(m.limits().least())) {
      facts.put("min", m.limits().least() / factor, DECIMALS);
    }
    if (Double.isFinite(m.limits().most())) {
      facts.put("max", m.limits().most() / factor, DECIMALS);
    }
  }

  /** What a whole number is multiplied by, in the written unit; for a current without its sign. */
  private static double scale(Field.Meaning m) {
    double factor = m.target().factor(m.labels().unit()).orElse(1);
    Scaling scaling = (Scaling) m.conversion();
    return (isReversed(m) ? -1 : 1) * scaling.times() / scaling.over() / factor;
  }

  private static double offset(Field.Meaning m) {
    String unit = m.labels().unit();
    double factor = m.target().factor(unit).orElse(1);
    Scaling scaling = (Scaling) m.conversion();
    double offset = (isReversed(m) ? -1 : 1) * scaling.plus() / scaling.over() / factor;
    return offset + (m.target() == Target.TEMPERATURE && unit.equals("K") ? 273.15 : 0);
  }

  /** True where the sign is turned around because the board counts discharging as positive. */
  private static boolean isReversed(Field.Meaning m) {
    return m.target() == Target.CURRENT && m.conversion() instanceof Scaling s && s.times() < 0;
  }

  private static String positive(Field.Meaning m) {
    return isReversed(m) ? "discharging" : "charging";
  }

  private static void add(
      List<String> words, boolean isThere, java.util.function.Supplier<String> text) {
    if (isThere) {
      words.add(text.get());
    }
  }

  private static boolean isPlain(Field.Meaning m) {
    return m.conversion().equals(Scaling.NONE);
  }

  /** The value in its written unit: {@code raw x 0.1 - 40 C}. */
  private static String arithmetic(Field.Meaning m) {
    Conversion conversion = m.conversion();
    String unit = m.labels().unit();
    if (!(conversion instanceof Scaling)) {
      return "through its thermistor's table, " + unit;
    }
    double scale = scale(m);
    double shown = offset(m);
    String sum = Math.abs(shown) < 1e-9 ? "" : (shown < 0 ? " - " : " + ") + plain(Math.abs(shown));
    return "raw"
        + (scale == 1 ? "" : " x " + plain(scale))
        + sum
        + (unit.isEmpty() ? "" : " " + unit);
  }

  private static String sign(Field.Meaning m) {
    return "positive: " + positive(m);
  }

  private static void numbers(Field field, List<String> words) {
    Field.Meaning m = field.meaning();
    if (m.target().isNumbered() && m.first() > 1) {
      words.add("from number " + m.first());
    }
    if (m.target().isMask() && m.first() > 0) {
      words.add("from bit " + m.first());
    }
    field.repetition().pages().ifPresent(p -> words.add(p.by() + " further each " + p.field()));
    if (!field.repetition().upTo().isEmpty()) {
      words.add("up to " + field.repetition().upTo());
    }
  }

  private static void limits(Field.Meaning m, List<String> words) {
    double factor = m.target().factor(m.labels().unit()).orElse(1);
    if (Double.isFinite(m.limits().least())) {
      words.add("at least " + plain(m.limits().least() / factor));
    }
    if (Double.isFinite(m.limits().most())) {
      words.add("at most " + plain(m.limits().most() / factor));
    }
    boolean isLimited = Double.isFinite(m.limits().least()) || Double.isFinite(m.limits().most());
    add(words, isLimited, () -> outside(m.limits().outside()));
  }

  private static String outside(Field.Outside outside) {
    return switch (outside) {
      case REFUSE -> "else the frame is refused";
      case MISSING -> "else no reading";
      case DOUBT -> "else left out";
    };
  }

  private static String when(org.cellherd.protocol.spec.Condition when) {
    return when.bit() >= 0 ? " has bit " + when.bit() : " is one of " + when.equals();
  }

  private static String constant(Field.Meaning m) {
    return m.constant().text().isEmpty()
        ? Long.toString(m.constant().value())
        : '"' + m.constant().text() + '"';
  }

  private static void values(Map<Long, String> names, List<String> words) {
    values(names, "", words);
  }

  private static void values(Map<? extends Number, String> names, String what, List<String> words) {
    new TreeMap<>(names).forEach((value, word) -> words.add(what + value + " = " + word));
  }

  private static String plain(double value) {
    BigDecimal shown = new BigDecimal(value).round(new MathContext(10));
    return shown.signum() == 0 ? "0" : shown.stripTrailingZeros().toPlainString();
  }
}
