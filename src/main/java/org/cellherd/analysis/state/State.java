package org.cellherd.analysis.state;

import java.nio.charset.StandardCharsets;
import java.util.Collection;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.IntFunction;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/**
 * What an object remembers, described once for both directions: {@code count = io.number(count)}
 * hands the value over and takes back the same one while a state is saved, and the saved one while
 * it is restored. What is restored into is made anew for it and thrown away when a {@link
 * StateMismatch} says that the bytes are not its state.
 */
public abstract sealed class State permits Saving, Restoring {

  State() {}

  /**
   * The state of something that cannot change, as a new one of its kind.
   *
   * @param <T> a record, mostly
   */
  @FunctionalInterface
  public interface Form<T> {
    /** What was saved for {@code now}, which is a blank one while a state is restored. */
    T state(T now, State io);
  }

  /** True while a state is read; for what is worked out anew then. */
  public abstract boolean isRestoring();

  /** A whole number. */
  public abstract long number(long now);

  /** A number, bit for bit. */
  public abstract double number(double now);

  /** A yes or no. */
  public abstract boolean flag(boolean now);

  /** Bytes with their length. */
  public abstract byte[] bytes(byte[] now);

  abstract int left();

  /** A whole number of 32 bits. */
  public final int number(int now) {
    long value = number((long) now);
    if (value != (int) value) {
      throw new StateMismatch("number " + value + " does not fit");
    }
    return (int) value;
  }

  /** A whole number of which others are no state: an index, a count. */
  public final int within(int now, int least, int most) {
    int value = number(now);
    if (value < least || value > most) {
      throw new StateMismatch(value + " is not within " + least + " and " + most);
    }
    return value;
  }

  /** A whole number of which others are no state. */
  public final long within(long now, long least, long most) {
    long value = number(now);
    if (value < least || value > most) {
      throw new StateMismatch(value + " is not within " + least + " and " + most);
    }
    return value;
  }

  /** A last whole number, which older states lack: they restore this. */
  public final int last(int now, int ofOlder) {
    return isRestoring() && left() == 0 ? ofOlder : number(now);
  }

  public final String text(String now) {
    return new String(bytes(now.getBytes(StandardCharsets.UTF_8)), StandardCharsets.UTF_8);
  }

  /** A constant of an enum, by its name. */
  public final <E extends Enum<E>> E constant(E now) {
    String name = text(now.name());
    for (E constant : now.getDeclaringClass().getEnumConstants()) {
      if (constant.name().equals(name)) {
        return constant;
      }
    }
    throw new StateMismatch("no " + now.getDeclaringClass().getSimpleName() + " is " + name);
  }

  /** Facts, kinds and order kept. */
  public final Facts facts(Facts now) {
    return FactsForm.state(now, this);
  }

  /** A part that others can be restored without; what {@link SavedState#of} made of it. */
  public final SavedState saved(SavedState now) {
    return SavedState.ofBytes(bytes(now.bytes()));
  }

  /** Begins a part: another name or version is no state of it. */
  public final void section(String name, int version) {
    String found = text(name);
    int foundVersion = number(version);
    if (!found.equals(name) || foundVersion != version) {
      throw new StateMismatch(
          "expected state " + name + " " + version + ", found " + found + " " + foundVersion);
    }
  }

  /** All numbers of an array of this length. */
  public final void each(long[] numbers) {
    length(numbers.length);
    for (int i = 0; i < numbers.length; i++) {
      numbers[i] = number(numbers[i]);
    }
  }

  /** All numbers of an array of this length. */
  public final void each(int[] numbers) {
    length(numbers.length);
    for (int i = 0; i < numbers.length; i++) {
      numbers[i] = number(numbers[i]);
    }
  }

  /** All numbers of an array of this length. */
  public final void each(double[] numbers) {
    length(numbers.length);
    for (int i = 0; i < numbers.length; i++) {
      numbers[i] = number(numbers[i]);
    }
  }

  /** The first so many numbers of an array. */
  public final void first(int count, double[] numbers) {
    for (int i = 0; i < count; i++) {
      numbers[i] = number(numbers[i]);
    }
  }

  private void length(int expected) {
    int found = number(expected);
    if (found != expected) {
      throw new StateMismatch(found + " values where " + expected + " are expected");
    }
  }

  /** What may be missing. */
  public final <T> Optional<T> optional(Optional<T> now, T blank, Form<T> form) {
    return flag(now.isPresent())
        ? Optional.of(form.state(now.orElse(blank), this))
        : Optional.empty();
  }

  /** What may be null. */
  public final <T> @Nullable T orNull(@Nullable T now, T blank, Form<T> form) {
    return optional(Optional.ofNullable(now), blank, form).orElse(null);
  }

  /** A list of what cannot change, at most so many. */
  public final <T> void list(Collection<T> items, int most, T blank, Form<T> form) {
    int count = within(items.size(), 0, most);
    if (isRestoring()) {
      items.clear();
      for (int i = 0; i < count; i++) {
        items.add(form.state(blank, this));
      }
    } else {
      items.forEach(item -> form.state(item, this));
    }
  }

  /** Parts that change, by number, at most so many; {@code fresh} makes one. */
  public final <P> void parts(
      Map<Integer, P> parts, int most, IntFunction<P> fresh, BiConsumer<P, State> part) {
    int count = within(parts.size(), 0, most);
    if (isRestoring()) {
      parts.clear();
      for (int i = 0; i < count; i++) {
        P made = parts.computeIfAbsent(number(0), fresh::apply);
        part.accept(made, this);
      }
    } else {
      parts.forEach(
          (number, saved) -> {
            number(number);
            part.accept(saved, this);
          });
    }
  }
}
