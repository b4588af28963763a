package org.cellherd.protocol.spec;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.function.Function;
import org.cellherd.pack.Channel;
import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/** One value of one field on its way into a draft. Used once. */
final class FieldReading {
  /** Above this a double no longer tells each whole number. */
  private static final double EXACT = 1L << 53;

  /** Decimals of a shown value. */
  private static final int DECIMALS = 6;

  private final Field field;
  private final Field.Meaning meaning;
  private final int number;
  private final Function<String, @Nullable Long> steering;
  private final Draft draft;
  private final String name;

  /**
   * A value of a row.
   *
   * @param index from 0
   * @param steering raw values of other fields by name
   */
  public FieldReading(
      Field field, int index, Function<String, @Nullable Long> steering, Draft draft) {
    this.field = field;
    this.meaning = field.meaning();
    this.number = (int) number(field, index, steering);
    this.steering = steering;
    this.draft = draft;
    boolean isRow = field.repetition().count() != 1;
    int shown = meaning.target().isNumbered() ? number : index + 1;
    this.name = isRow ? field.name() + " " + shown : field.name();
  }

  private static long number(Field field, int index, Function<String, @Nullable Long> steering) {
    long number = field.meaning().first() + (field.meaning().target().isMask() ? 0L : index);
    if (field.repetition().pages().isEmpty()) {
      return number;
    }
    Field.PageStep step = field.repetition().pages().get();
    Long page = steering.apply(step.field());
    number += page == null ? 0 : step.shift(page);
    return Math.max(-1, Math.min(number, Integer.MAX_VALUE));
  }

  /** True for what fills a row behind the last cell or sensor. */
  private boolean isBehindLast() {
    String upTo = field.repetition().upTo();
    Long last = upTo.isEmpty() ? null : steering.apply(upTo);
    return last != null && number > last;
  }

  Optional<Refusal> read(byte[] data, int bit) {
    if (field.coding().type() == Coding.Type.SKIP) {
      return Optional.empty();
    }
    int at = bit / 8;
    if (meaning.target().isNumbered() && isBehindLast()) {
      return Optional.empty();
    }
    if (meaning.target().isNumbered() && (number < 1 || number > Channel.MAX_NUMBER)) {
      return noNumber(at, "has the number " + number + ", allowed 1 to " + Channel.MAX_NUMBER);
    }
    if (field.coding().type() == Coding.Type.TEXT) {
      return text(data, at);
    }
    OptionalLong read = field.coding().read(data, bit);
    if (read.isEmpty()) {
      return noNumber(at, "holds bytes that are no digits");
    }
    long raw = field.slice(read.getAsLong());
    if (meaning.constant().required() && raw != meaning.constant().value()) {
      return refuse(at, "is " + raw + ", must be " + meaning.constant().value());
    }
    double value = field.coding().number(raw);
    if (meaning.missing().contains(raw) || Double.isNaN(value)) {
      return Optional.empty();
    }
    return put(raw, value, at);
  }

  /** Says that there is no number where one should be. */
  public Optional<Refusal> noNumber(int at, String what) {
    boolean costs =
        meaning.target().isMeasured() || meaning.limits().outside() == Field.Outside.REFUSE;
    if (costs) {
      return refuse(at, what);
    }
    draft.doubt(name, what);
    return Optional.empty();
  }

  /** Puts a number that was read in another way; its raw value counts as 64 bits without sign. */
  public Optional<Refusal> put(long raw, double value, int at) {
    Target target = meaning.target();
    if (target.isTruth()) {
      boolean on = meaning.truth().isEmpty() ? raw != 0 : meaning.truth().contains(raw);
      draft.put(target, number, on ? 1 : 0);
    } else if (target.isMask()) {
      putMask(field.coding().pattern(raw));
    } else if (target == Target.IDENTITY) {
      draft.identity(whole(raw, value));
    } else {
      Optional<Refusal> refusal = putNumber(raw, value, at);
      if (refusal.isPresent()) {
        return refusal;
      }
    }
    words(raw, value);
    return Optional.empty();
  }

  private void putMask(long bits) {
    long shifted = number < 64 ? bits << number : 0;
    if (shifted >>> number == bits) {
      draft.put(meaning.target(), 1, shifted);
    } else {
      draft.doubt(name, "has bits beyond the 64 that a mask can hold");
    }
  }

  private Optional<Refusal> putNumber(long raw, double value, int at) {
    OptionalDouble inside = meaning.conversion().toInside(value);
    if (inside.isEmpty()) {
      return Optional.empty();
    }
    double signed = inside.getAsDouble();
    if (meaning.direction().isPresent()) {
      Long told = steering.apply(meaning.direction().get().field());
      OptionalInt sign = told == null ? OptionalInt.empty() : meaning.direction().get().sign(told);
      if (sign.isEmpty() && signed != 0) {
        draft.doubt(name, "has a direction that is not described: " + told);
        return Optional.empty();
      }
      signed *= sign.orElse(0);
    }
    double rounded = Math.floor(signed + 0.5);
    if (isOutside(signed, rounded)) {
      return outside(at, "is " + shown(signed) + valid());
    }
    if (meaning.target() == Target.EXTRA) {
      boolean isWhole = field.coding().type() != Coding.Type.FLOAT;
      boolean isLarge = isWhole && Math.max(Math.abs(value), Math.abs(signed)) > EXACT;
      extraNumber(isLarge ? large(raw, value).orElse(plain(signed)) : plain(signed));
    } else {
      draft.put(meaning.target(), number, (long) rounded);
      doubtUnusual(rounded);
    }
    return Optional.empty();
  }

  private void doubtUnusual(double inside) {
    Usual usual = Usual.of(meaning.target());
    if (usual.isExceeded(inside, meaning.limits())) {
      draft.doubtKept(
          name,
          "is %s, usual: %s to %s"
              .formatted(shown(inside), shown(usual.least()), shown(usual.most())));
    }
  }

  /**
   * Values for people may be of any size; what goes into a reading is a whole number of 32 bits.
   */
  private boolean isOutside(double inside, double rounded) {
    double most = meaning.target() == Target.EXTRA ? Double.MAX_VALUE : Integer.MAX_VALUE;
    Field.Limits limits = meaning.limits();
    return inside < limits.least() || inside > limits.most() || Math.abs(rounded) > most;
  }

  private Optional<Refusal> outside(int at, String what) {
    switch (meaning.limits().outside()) {
      case REFUSE -> {
        return refuse(at, what);
      }
      case DOUBT -> draft.doubt(name, what);
      case MISSING -> {}
    }
    return Optional.empty();
  }

  /** A whole number to its last digit, which a double cannot hold. */
  private static String whole(long raw, double value) {
    return value < 0 ? Long.toString(raw) : Long.toUnsignedString(raw);
  }

  /** A scaled number to its last digit, where scale and offset are decimals. */
  private Optional<String> large(long raw, double value) {
    return meaning.conversion() instanceof Scaling scaling
        ? scaling
            .exactly(new BigDecimal(whole(raw, value)))
            .map(n -> n.setScale(DECIMALS, RoundingMode.HALF_UP).stripTrailingZeros())
            .map(BigDecimal::toPlainString)
        : Optional.empty();
  }

  private void extraNumber(String text) {
    if (!meaning.labels().shown() || !meaning.labels().values().isEmpty()) {
      return;
    }
    if (meaning.labels().bits().isEmpty()) {
      String unit = meaning.labels().unit();
      draft.extra(name, text + (unit.isEmpty() ? "" : " " + unit));
    }
  }

  private void words(long raw, double value) {
    Field.Labels labels = meaning.labels();
    if (!labels.shown()) {
      return;
    }
    if (!labels.values().isEmpty()) {
      draft.extra(name, labels.values().getOrDefault(raw, "unknown (" + whole(raw, value) + ")"));
    }
    if (!labels.bits().isEmpty()) {
      StringBuilder set = new StringBuilder();
      for (int bit = 0; bit < 64; bit++) {
        if ((raw >>> bit & 1) == 1) {
          String word = labels.bits().getOrDefault(bit, "bit " + bit);
          set.append(set.isEmpty() ? "" : ", ").append(word);
        }
      }
      draft.extra(name, set.isEmpty() ? "none" : set.toString());
    }
  }

  private Optional<Refusal> text(byte[] data, int at) {
    int length = 0;
    while (length < field.coding().bytes() && data[at + length] != 0) {
      length++;
    }
    String raw = new String(data, at, length, StandardCharsets.ISO_8859_1);
    String text = raw.replaceAll("[^ -~]", "?").strip();
    if (meaning.constant().required() && !text.equals(meaning.constant().text())) {
      return refuse(at, "is \"" + text + "\", must be \"" + meaning.constant().text() + "\"");
    }
    if (meaning.target() == Target.IDENTITY) {
      draft.identity(text);
    }
    if (meaning.labels().shown() && !text.isEmpty()) {
      draft.extra(name, text);
    }
    return Optional.empty();
  }

  private String valid() {
    Field.Limits limits = meaning.limits();
    boolean least = Double.isFinite(limits.least());
    boolean most = Double.isFinite(limits.most());
    if (!least && !most) {
      return ", more than a reading can hold";
    }
    return ", valid: "
        + (least ? "from " + shown(limits.least()) + (most ? " " : "") : "")
        + (most ? "to " + shown(limits.most()) : "");
  }

  private String shown(double inside) {
    int factor = meaning.target().factor(meaning.labels().unit()).orElse(1);
    String unit = meaning.labels().unit();
    return plain(inside / factor) + (unit.isEmpty() ? "" : " " + unit);
  }

  private static String plain(double value) {
    if (value == Math.rint(value) && Math.abs(value) < 1e15) {
      return Long.toString((long) value);
    }
    return String.format(Locale.ROOT, "%.6f", value).replaceAll("0+$", "").replaceAll("\\.$", "");
  }

  private Optional<Refusal> refuse(int at, String what) {
    return Optional.of(new Refusal(Refusal.Reason.FIELD, at, name + " " + what));
  }
}
