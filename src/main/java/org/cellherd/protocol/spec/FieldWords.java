package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/** Says what a described field means: arithmetic, sign, limits, words of its values. */
final class FieldWords {

  private FieldWords() {}

  /** Everything but where it stands, in the order in which one reads a sheet. */
  static List<String> of(Field field) {
    Field.Meaning m = field.meaning();
    List<String> words = new ArrayList<>();
    add(words, !m.labels().unit().isEmpty() || !isPlain(m), () -> arithmetic(m));
    add(words, m.target() == Target.CURRENT && m.direction().isEmpty(), () -> sign(m));
    m.direction().ifPresent(d -> words.add("direction told by " + d.field()));
    numbers(field, words);
    add(words, !m.missing().isEmpty(), () -> "missing: " + m.missing());
    limits(m, words);
    field.when().ifPresent(w -> words.add("only when " + w.field() + when(w)));
    add(words, m.constant().required(), () -> "must be " + constant(m));
    values(m.labels().values(), words);
    values(new TreeMap<>(m.labels().bits()), "bit ", words);
    return words;
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
    if (!(conversion instanceof Scaling scaling)) {
      return "through its thermistor's table, " + unit;
    }
    double factor = m.target().factor(unit).orElse(1);
    double scale = Math.abs(scaling.times()) / scaling.over() / factor;
    double offset = scaling.plus() / scaling.over() / factor * Math.signum(scaling.times());
    double kelvin = m.target() == Target.TEMPERATURE && unit.equals("K") ? 273.15 : 0;
    double shown = offset + kelvin;
    String sum = Math.abs(shown) < 1e-9 ? "" : (shown < 0 ? " - " : " + ") + plain(Math.abs(shown));
    return "raw"
        + (scale == 1 ? "" : " x " + plain(scale))
        + sum
        + (unit.isEmpty() ? "" : " " + unit);
  }

  private static String sign(Field.Meaning m) {
    boolean isReversed = m.conversion() instanceof Scaling s && s.times() < 0;
    return "positive: " + (isReversed ? "discharging" : "charging");
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
    String text = String.format(Locale.ROOT, "%.6f", value);
    return text.replaceAll("0+$", "").replaceAll("\\.$", "");
  }
}
