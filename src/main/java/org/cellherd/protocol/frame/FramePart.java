package org.cellherd.protocol.frame;

/**
 * One part of a frame.
 *
 * @param name name that length and checksum rules use
 * @param kind what the part holds
 * @param bytes bytes it takes, before escaping or hex; 0 for data
 * @param lowFirst true when a number in it has its low byte first
 * @param value bytes of a constant part, of a start and of an end
 * @param checked true when a constant must be as described
 */
public record FramePart(
    String name, Kind kind, int bytes, boolean lowFirst, Bytes value, boolean checked) {

  /** What a part holds. */
  public enum Kind {
    START,
    CONSTANT,
    ADDRESS,
    CODE,
    RESULT,
    LENGTH,
    DATA,
    CHECKSUM,
    END
  }

  /** A part that holds a number. */
  public static FramePart number(String name, Kind kind, int bytes, boolean lowFirst) {
    return new FramePart(name, kind, bytes, lowFirst, Bytes.NONE, true);
  }

  /** A part with described bytes. */
  public static FramePart constant(String name, Kind kind, Bytes value, boolean checked) {
    return new FramePart(name, kind, value.length(), false, value, checked);
  }

  public static FramePart data() {
    return new FramePart("data", Kind.DATA, 0, false, Bytes.NONE, true);
  }

  long read(byte[] bytesOfFrame, int at) {
    return Numbers.unsigned(bytesOfFrame, at, bytes, lowFirst);
  }

  void write(byte[] bytesOfFrame, int at, long number) {
    Numbers.put(bytesOfFrame, at, bytes, lowFirst, number);
  }
}
