package org.cellherd.protocol.frame;

/** A frame that passed its own checks; whether it is ours is another question. Immutable. */
public final class Frame {

  /** Stands for an address or code that this framing does not have. */
  public static final long NONE = -1;

  private final long address;
  private final long code;
  private final byte[] data;
  private final int dataOffset;
  private final boolean exception;

  public Frame(long address, long code, byte[] data, int dataOffset, boolean exception) {
    this.address = address;
    this.code = code;
    this.data = data;
    this.dataOffset = dataOffset;
    this.exception = exception;
  }

  /** Who sent it, or {@link #NONE}. */
  public long address() {
    return address;
  }

  /** Which message it is, or {@link #NONE}. */
  public long code() {
    return code;
  }

  /** The data, checked and free of escapes; not to be changed. */
  public byte[] data() {
    return data;
  }

  /** Where in the frame the data begins, for messages. */
  public int dataOffset() {
    return dataOffset;
  }

  /** True when the board said no; the data then begins with its reason. */
  public boolean isException() {
    return exception;
  }
}
