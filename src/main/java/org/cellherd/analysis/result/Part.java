package org.cellherd.analysis.result;

import java.lang.reflect.Constructor;
import java.lang.reflect.Method;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** One part of a record: which keys it has, and how its value is written there and read back. */
abstract class Part {
  private final Method getter;

  Part(RecordComponent component) {
    getter = component.getAccessor();
  }

  static Part of(RecordComponent component) {
    if (component.isAnnotationPresent(Inline.class)) {
      return new Inlined(component);
    }
    Type type = component.getGenericType();
    if (type == Interval.class || inside(type) == Interval.class) {
      return new Bounds(component);
    }
    return new Single(component);
  }

  /** What an {@code Optional} may hold; null for another type. */
  private static @Nullable Type inside(Type type) {
    return type instanceof ParameterizedType of && of.getRawType() == Optional.class
        ? of.getActualTypeArguments()[0]
        : null;
  }

  /** {@code ahAt25cLow} as {@code ah_at_25c_low}. */
  static String key(String name) {
    return name.replaceAll("(?<=[a-z])(?=[A-Z0-9])|(?<=[0-9])(?=[A-Z])", "_")
        .toLowerCase(Locale.ROOT);
  }

  Object of(Object record) {
    return made(getter, record);
  }

  abstract void write(Object value, Facts.Builder facts);

  abstract @Nullable Object read(Facts facts);

  static void put(Facts.Builder facts, String key, @Nullable Object value) {
    facts.putAll(new Facts(List.of(new Fact(key, value))));
  }

  private static Object made(Method getter, Object record) {
    try {
      return getter.invoke(record);
    } catch (ReflectiveOperationException notOurs) {
      throw new IllegalStateException(getter + " cannot be asked", notOurs);
    }
  }

  static Object made(Constructor<?> maker, @Nullable Object[] values) {
    try {
      return maker.newInstance(values);
    } catch (ReflectiveOperationException notOurs) {
      throw new IllegalArgumentException("no " + maker.getName() + " of these facts", notOurs);
    }
  }

  private static final class Single extends Part {
    private final String key;
    private final Value value;
    private final boolean isLeftOut;

    Single(RecordComponent component) {
      super(component);
      boolean isTime = component.isAnnotationPresent(Time.class);
      String name = component.getName();
      key = key(isTime ? name.substring(0, name.length() - "Ms".length()) : name);
      value = Value.of(component.getGenericType(), component);
      isLeftOut = component.isAnnotationPresent(WhenKnown.class);
    }

    @Override
    void write(Object of, Facts.Builder facts) {
      Object written = value.write(of);
      if (written != null || !isLeftOut) {
        put(facts, key, written);
      }
    }

    @Override
    @Nullable Object read(Facts facts) {
      Object read = value.read(facts.get(key).orElse(null));
      // A record that is not told of is one of which nothing is known.
      return read == null && value instanceof Value.Nested nested ? nested.read(Facts.NONE) : read;
    }
  }

  /**
   * The keys of an interval; an end that is not finite is not known, and then nor is the middle.
   */
  private static final class Bounds extends Part {
    private final String name;
    private final Digits digits;
    private final boolean isOptional;
    private final boolean isLeftOut;

    Bounds(RecordComponent component) {
      super(component);
      name = key(component.getName());
      digits = component.getAnnotation(Digits.class);
      isOptional = component.getType() == Optional.class;
      isLeftOut = component.isAnnotationPresent(WhenKnown.class);
    }

    @Override
    void write(Object of, Facts.Builder facts) {
      Interval known = of instanceof Optional<?> may ? (Interval) may.orElse(null) : (Interval) of;
      if (known == null && isLeftOut) {
        return;
      }
      Interval all = known == null ? UNKNOWN : known;
      Digits.Style style = digits.style();
      double mid = isMidKnown(all) ? all.mid() : Double.NaN;
      if (style == Digits.Style.PLAIN) {
        facts.put(named(style.mid), mid, digits.value());
      }
      facts.putLow(named(style.low), all.low(), digits.value());
      if (style == Digits.Style.WITH_MID || style == Digits.Style.IN_FRONT) {
        facts.put(named(style.mid), mid, digits.value());
      }
      facts.putHigh(named(style.high), all.high(), digits.value());
    }

    private static final Interval UNKNOWN =
        new Interval(Double.NEGATIVE_INFINITY, 0, Double.POSITIVE_INFINITY);

    /** Where one end is open, the middle is put on the other. */
    private static boolean isMidKnown(Interval all) {
      boolean isClosed = Double.isFinite(all.low()) && Double.isFinite(all.high());
      boolean isAtEnd = all.mid() == all.low() || all.mid() == all.high();
      return isClosed || !(isAtEnd || all.equals(UNKNOWN));
    }

    private String named(String form) {
      return form.replace("%s", name);
    }

    @Override
    @Nullable Object read(Facts facts) {
      Digits.Style style = digits.style();
      double mid =
          style.mid.isEmpty() ? Double.NaN : facts.number(named(style.mid)).orElse(Double.NaN);
      double low = facts.number(named(style.low)).orElse(Double.NEGATIVE_INFINITY);
      double high = facts.number(named(style.high)).orElse(Double.POSITIVE_INFINITY);
      Interval read = interval(low, mid, high);
      return isOptional ? Optional.of(read).filter(r -> !r.equals(UNKNOWN)) : read;
    }

    /** The ends were rounded outward and the middle was not: it may lie on one, never beyond. */
    private static Interval interval(double low, double mid, double high) {
      double finite = Double.isFinite(low) ? low : Double.isFinite(high) ? high : 0;
      boolean isClosed = Double.isFinite(low) && Double.isFinite(high);
      double guess = isClosed ? (low + high) / 2 : finite;
      double middle = Double.isNaN(mid) ? guess : mid;
      return low <= high ? new Interval(low, Math.max(low, Math.min(high, middle)), high) : UNKNOWN;
    }
  }

  /** Keys of another record. */
  private static final class Inlined extends Part {
    private final ResultForm form;

    Inlined(RecordComponent component) {
      super(component);
      form = ResultForm.of(component.getType());
    }

    @Override
    void write(Object value, Facts.Builder facts) {
      form.write(value, facts);
    }

    @Override
    Object read(Facts facts) {
      return form.read(facts);
    }
  }
}
