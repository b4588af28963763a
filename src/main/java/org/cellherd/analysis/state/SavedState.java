package org.cellherd.analysis.state;

import java.util.Arrays;
import java.util.function.Consumer;

/** A saved state as bytes, closed by a check value. Immutable. */
public final class SavedState {
  private final byte[] bytes;

  private SavedState(byte[] bytes) {
    this.bytes = bytes;
  }

  /** The state of a part now. */
  public static SavedState of(Consumer<State> part) {
    Saving out = new Saving(new StateWriter());
    part.accept(out);
    return new SavedState(Seal.close(out.toBytes()));
  }

  /** What {@link #bytes} gave, or what has become of it. */
  public static SavedState ofBytes(byte[] bytes) {
    return new SavedState(bytes.clone());
  }

  /**
   * Restores it into a new part.
   *
   * @throws StateMismatch when the bytes are damaged, or no state of this kind and version; the
   *     part is then of no more use
   */
  public void into(Consumer<State> part) {
    Restoring in = new Restoring(new StateReader(Seal.open(bytes)));
    try {
      part.accept(in);
    } catch (IllegalArgumentException | IndexOutOfBoundsException noValue) {
      throw new StateMismatch("no value of this kind: " + noValue.getMessage());
    }
    if (in.left() > 0) {
      throw new StateMismatch(in.left() + " bytes more than the state has");
    }
  }

  /** A copy of the bytes. */
  public byte[] bytes() {
    return bytes.clone();
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
