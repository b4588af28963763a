package org.cellherd.protocol.frame;

import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/**
 * What stands at one place of a buffer.
 *
 * @param kind the verdict
 * @param bytes bytes wanted, to be dropped, or of the frame, by kind
 * @param plausible true when it looks like the frame waited for
 * @param headed true when enough is there to know whose frame it would be
 * @param frame the frame, when there is one
 * @param refusal why not, when broken
 */
public record Scan(
    Kind kind,
    int bytes,
    boolean plausible,
    boolean headed,
    @Nullable Frame frame,
    @Nullable Refusal refusal) {

  /** Verdicts. */
  public enum Kind {
    /** The beginning of a frame; at least so many bytes are missing. */
    NEED,
    /** No frame begins here. */
    GARBAGE,
    /** A whole frame. */
    FRAME,
    /** A frame began here and is broken. */
    BROKEN
  }

  /** More bytes are needed. */
  public static Scan need(int bytes, boolean plausible) {
    return need(bytes, plausible, false);
  }

  /** More bytes are needed; {@code headed} when it is known whose frame it would be. */
  public static Scan need(int bytes, boolean plausible, boolean headed) {
    return new Scan(Kind.NEED, Math.max(1, bytes), plausible, headed, null, null);
  }

  /** Bytes that begin no frame. */
  public static Scan garbage(int bytes) {
    return new Scan(Kind.GARBAGE, Math.max(1, bytes), false, false, null, null);
  }

  /** A frame of so many bytes on the wire. */
  public static Scan frame(int bytes, Frame frame) {
    return new Scan(Kind.FRAME, bytes, true, true, frame, null);
  }

  /** A frame that is broken. */
  public static Scan broken(boolean plausible, Refusal.Reason reason, int offset, String detail) {
    return new Scan(Kind.BROKEN, 1, plausible, true, null, new Refusal(reason, offset, detail));
  }
}
