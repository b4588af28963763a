package org.cellherd.analysis.result;

import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;
import org.jspecify.annotations.Nullable;

/** How a value of one type is written as a fact and read back. */
interface Value {

  /** The fact; null for what is not known. */
  @Nullable Object write(Object value);

  /** The value; what this type has for unknown where the fact is missing or of another kind. */
  @Nullable Object read(@Nullable Object fact);

  static Value of(Type type, RecordComponent component) {
    if (type instanceof ParameterizedType of) {
      Value each = of(of.getActualTypeArguments()[0], component);
      return of.getRawType() == List.class ? new Each(each) : new Maybe(each);
    }
    if (type == double.class || type == OptionalDouble.class) {
      return new Rounded(component.getAnnotation(Digits.class), type == OptionalDouble.class);
    }
    Class<?> plain = (Class<?>) type;
    if (plain.isRecord() && plain != Facts.class) {
      return new Nested(plain);
    }
    if (plain.isEnum()) {
      return new Word(List.of(plain.getEnumConstants()));
    }
    return plain == boolean.class || plain == String.class || plain == Facts.class
        ? new Plain(plain)
        : new Whole(plain, component.isAnnotationPresent(Time.class));
  }

  /** Yes or no, text, and facts that nobody computes with. */
  record Plain(Class<?> type) implements Value {
    @Override
    public Object write(Object value) {
      return value;
    }

    @Override
    public @Nullable Object read(@Nullable Object fact) {
      if (type == boolean.class) {
        return Boolean.TRUE.equals(fact);
      }
      if (type == Facts.class) {
        return fact instanceof Facts ? fact : Facts.NONE;
      }
      return fact instanceof String ? fact : "";
    }
  }

  /** A whole number or an instant. */
  record Whole(Class<?> type, boolean isTime) implements Value {
    @Override
    public @Nullable Object write(Object value) {
      if (value instanceof OptionalInt may) {
        return may.isPresent() ? fact(may.getAsInt()) : null;
      }
      if (value instanceof OptionalLong may) {
        return may.isPresent() ? fact(may.getAsLong()) : null;
      }
      return type == Integer.class ? value : fact(((Number) value).longValue());
    }

    private Object fact(long number) {
      return isTime ? new Fact.Time(number) : (Object) number;
    }

    @Override
    public @Nullable Object read(@Nullable Object fact) {
      boolean isKnown = fact instanceof Number || fact instanceof Fact.Time;
      long number =
          fact instanceof Fact.Time time ? time.ms() : fact instanceof Number n ? n.longValue() : 0;
      if (type == OptionalInt.class) {
        return isKnown ? OptionalInt.of((int) number) : OptionalInt.empty();
      }
      if (type == OptionalLong.class) {
        return isKnown ? OptionalLong.of(number) : OptionalLong.empty();
      }
      if (type == Integer.class && !isKnown) {
        return null;
      }
      return type == int.class || type == Integer.class ? (Object) (int) number : (Object) number;
    }
  }

  /** A number with decimals; what is not finite is not known. */
  record Rounded(Digits digits, boolean isOptional) implements Value {
    @Override
    public @Nullable Object write(Object value) {
      double number = value instanceof OptionalDouble may ? may.orElse(Double.NaN) : (Double) value;
      return Double.isFinite(number)
          ? BigDecimal.valueOf(number).setScale(digits.value(), digits.to()).doubleValue()
          : null;
    }

    @Override
    public Object read(@Nullable Object fact) {
      if (isOptional) {
        return fact instanceof Number n
            ? OptionalDouble.of(n.doubleValue())
            : OptionalDouble.empty();
      }
      return fact instanceof Number n ? n.doubleValue() : Double.NaN;
    }
  }

  /** A constant, by its word; UNKNOWN, or else the first, stands for every other word. */
  record Word(List<?> constants) implements Value {
    @Override
    public Object write(Object value) {
      return ((Worded) value).word();
    }

    @Override
    public @Nullable Object read(@Nullable Object fact) {
      for (Object constant : constants) {
        if (write(constant).equals(fact)) {
          return constant;
        }
      }
      return unknown();
    }

    boolean knows(Object fact) {
      return constants.stream().anyMatch(constant -> write(constant).equals(fact));
    }

    private Object unknown() {
      for (Object constant : constants) {
        if (((Enum<?>) constant).name().equals("UNKNOWN")) {
          return constant;
        }
      }
      return constants.get(0);
    }
  }

  record Nested(Class<?> type) implements Value {
    @Override
    public Object write(Object value) {
      return ResultForm.facts((Record) value);
    }

    @Override
    public @Nullable Object read(@Nullable Object fact) {
      return fact instanceof Facts facts ? ResultForm.of(type).read(facts) : null;
    }
  }

  record Each(Value each) implements Value {
    @Override
    public Object write(Object value) {
      return ((List<?>) value).stream().map(each::write).toList();
    }

    @Override
    public Object read(@Nullable Object fact) {
      List<Object> all = new ArrayList<>();
      for (Object item : fact instanceof List<?> items ? items : List.of()) {
        Object read = each.read(item);
        if (read != null) {
          all.add(read);
        }
      }
      return List.copyOf(all);
    }
  }

  /** What may be missing. */
  record Maybe(Value inside) implements Value {
    @Override
    public @Nullable Object write(Object value) {
      return ((Optional<?>) value).map(inside::write).orElse(null);
    }

    @Override
    public Object read(@Nullable Object fact) {
      boolean isKnown = fact != null && (!(inside instanceof Word word) || word.knows(fact));
      return Optional.ofNullable(isKnown ? inside.read(fact) : null);
    }
  }
}
