package org.cellherd.pack;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.jspecify.annotations.Nullable;

/** An ordered list of facts. Immutable. */
public record Facts(List<Fact> list) {

  public static final Facts NONE = new Facts(List.of());

  public Facts {
    list = List.copyOf(list);
  }

  public static Builder of() {
    return new Builder();
  }

  /** The value of a name; empty when the name is absent or its value cannot be known. */
  public Optional<Object> get(String name) {
    for (Fact fact : list) {
      if (fact.name().equals(name)) {
        return Optional.ofNullable(fact.value());
      }
    }
    return Optional.empty();
  }

  /** The number of a name; empty when absent, unknown, or not a number. */
  public OptionalDouble number(String name) {
    return get(name).orElse("") instanceof Number n
        ? OptionalDouble.of(n.doubleValue())
        : OptionalDouble.empty();
  }

  /** The text of a name; empty when absent, unknown, or not text. */
  public Optional<String> text(String name) {
    return get(name).filter(String.class::isInstance).map(String.class::cast);
  }

  public static final class Builder {
    private final List<Fact> list = new ArrayList<>();

    public Builder put(String name, long value) {
      list.add(new Fact(name, value));
      return this;
    }

    /** Adds a number rounded half up to some decimals; NaN and infinities become unknown. */
    public Builder put(String name, double value, int decimals) {
      return put(name, value, decimals, RoundingMode.HALF_UP);
    }

    /** Adds a lower bound, rounded down; NaN and infinities become unknown. */
    public Builder putLow(String name, double value, int decimals) {
      return put(name, value, decimals, RoundingMode.FLOOR);
    }

    /** Adds an upper bound, rounded up; NaN and infinities become unknown. */
    public Builder putHigh(String name, double value, int decimals) {
      return put(name, value, decimals, RoundingMode.CEILING);
    }

    private Builder put(String name, double value, int decimals, RoundingMode mode) {
      boolean isNumber = Double.isFinite(value);
      list.add(
          new Fact(
              name,
              isNumber ? BigDecimal.valueOf(value).setScale(decimals, mode).doubleValue() : null));
      return this;
    }

    /** Adds a yes or no. */
    public Builder put(String name, boolean value) {
      list.add(new Fact(name, value));
      return this;
    }

    /** Adds text; null means that it cannot be known. */
    public Builder put(String name, @Nullable String value) {
      list.add(new Fact(name, value));
      return this;
    }

    /** Adds an instant in ms UTC. */
    public Builder putTime(String name, long ms) {
      list.add(new Fact(name, new Fact.Time(ms)));
      return this;
    }

    /** Adds nested facts. */
    public Builder put(String name, Facts value) {
      list.add(new Fact(name, value));
      return this;
    }

    public Builder put(String name, List<?> values) {
      list.add(new Fact(name, List.copyOf(values)));
      return this;
    }

    /** Adds a value that cannot be known. */
    public Builder putUnknown(String name) {
      list.add(new Fact(name, null));
      return this;
    }

    /** Adds a whole number that may be missing. */
    public Builder put(String name, OptionalInt value) {
      return value.isPresent() ? put(name, value.getAsInt()) : putUnknown(name);
    }

    /** Adds a whole number that may be missing. */
    public Builder put(String name, OptionalLong value) {
      return value.isPresent() ? put(name, value.getAsLong()) : putUnknown(name);
    }

    /** Adds a number that may be missing, rounded half up to some decimals. */
    public Builder put(String name, OptionalDouble value, int decimals) {
      return value.isPresent() ? put(name, value.getAsDouble(), decimals) : putUnknown(name);
    }

    public Builder putAll(Facts facts) {
      list.addAll(facts.list());
      return this;
    }

    public Facts build() {
      return new Facts(list);
    }
  }
}
