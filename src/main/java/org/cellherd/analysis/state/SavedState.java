package org.cellherd.analysis.state;

import java.util.Arrays;
import java.util.function.Consumer;

/** A saved state as bytes, without a check value: what stores them has one. Immutable. */
public final class SavedState {
  public static final SavedState NONE = new SavedState(new byte[0]);

  private final byte[] bytes;

  private SavedState(byte[] bytes) {
    this.bytes = bytes;
  }

  /** The state of a part now. */
  public static SavedState of(Consumer<State> part) {
    StateWriter out = new StateWriter();
    part.accept(new Saving(out));
    return ofBytes(out.toBytes());
  }

  /** The state of what cannot change. */
  public static <T> SavedState of(T now, State.Form<T> form) {
    return of(io -> form.state(now, io));
  }

  /** What {@link #bytes} gave, or what has become of it. The bytes must not change. */
  public static SavedState ofBytes(byte[] bytes) {
    return new SavedState(bytes);
  }

  /**
   * Restores it into a new part.
   *
   * @throws StateMismatch when the bytes are no state of this kind and version; the part is then of
   *     no more use
   */
  public void into(Consumer<State> part) {
    int length = beginInto(part);
    if (length < bytes.length) {
      throw new StateMismatch(bytes.length - length + " bytes more than the state has");
    }
  }

  /**
   * Restores what the bytes begin with into a new part.
   *
   * @return how many bytes that is
   * @throws StateMismatch as {@link #into}
   */
  public int beginInto(Consumer<State> part) {
    StateReader in = new StateReader(bytes);
    try {
      part.accept(new Restoring(in));
    } catch (IllegalArgumentException | IndexOutOfBoundsException | ArithmeticException noValue) {
      throw new StateMismatch("no value of this kind: " + noValue.getMessage());
    }
    return bytes.length - in.left();
  }

  /**
   * What cannot change, made anew.
   *
   * @param blank one of its kind
   * @throws StateMismatch as {@link #into}
   */
  public <T> T as(T blank, State.Form<T> form) {
    Made<T> made = new Made<>(blank);
    into(io -> made.it = form.state(blank, io));
    return made.it;
  }

  private static final class Made<T> {
    private T it;

    Made(T blank) {
      it = blank;
    }
  }

  /** The bytes, which must not be changed. */
  public byte[] bytes() {
    return bytes;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof SavedState saved && Arrays.equals(bytes, saved.bytes);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(bytes);
  }

  @Override
  public String toString() {
    return "state of " + bytes.length + " bytes, hash " + Integer.toHexString(hashCode());
  }
}
