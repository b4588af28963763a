package org.cellherd.protocol.frame;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/** The attempt to read one frame of a layout at one place of a buffer. Used once. */
final class FrameCandidate {
  private final FrameLayout layout;
  private final FrameLayout.Description d;
  private final byte[] buffer;
  private final int from;
  private final int to;
  private final Wire.Unwrapped u;
  private final Expectation expected;
  private final boolean silent;

  private List<FramePart> parts;
  private long address = Frame.NONE;
  private long code = Frame.NONE;
  private long result = Frame.NONE;
  private boolean exception;
  private int headerBytes;
  private boolean headed;
  private int dataLength = -1;
  private int trailerBytes;

  FrameCandidate(
      FrameLayout layout,
      byte[] buffer,
      int from,
      int to,
      Wire.Unwrapped u,
      Expectation expected,
      boolean silent) {
    this.layout = layout;
    this.d = layout.description();
    this.buffer = buffer;
    this.from = from;
    this.to = to;
    this.u = u;
    this.expected = expected;
    this.silent = silent;
    this.parts = layout.inner(false);
  }

  /** True when the bytes before the data already show that no frame begins here. */
  boolean isGarbage() {
    Scan early = header();
    return early != null && early.kind() == Scan.Kind.GARBAGE;
  }

  Scan verdict() {
    Scan early = header();
    headed = early == null;
    if (early == null) {
      early = findDataLength();
    }
    if (early == null) {
      early = whole();
    }
    return early;
  }

  // ---- the parts before the data ---------------------------------------------------------------

  private @Nullable Scan header() {
    int at = 0;
    for (int i = 0; i < parts.size() && parts.get(i).kind() != FramePart.Kind.DATA; i++) {
      FramePart part = parts.get(i);
      if (at + part.bytes() > u.count()) {
        return partWrongSoFar(part, at) ? Scan.garbage(1) : missing(at + part.bytes());
      }
      Scan stop = take(part, at);
      if (stop != null) {
        return stop;
      }
      at += part.bytes();
    }
    headerBytes = at;
    trailerBytes = parts.stream().mapToInt(FramePart::bytes).sum() - at;
    return null;
  }

  private boolean partWrongSoFar(FramePart part, int at) {
    return part.kind() == FramePart.Kind.CONSTANT
        && part.checked()
        && part.value().matchAt(u.bytes(), at, u.count()) < u.count() - at;
  }

  private @Nullable Scan take(FramePart part, int at) {
    switch (part.kind()) {
      case ADDRESS -> address = part.read(u.bytes(), at);
      case CODE -> {
        return takeCode(part.read(u.bytes(), at));
      }
      case RESULT -> result = part.read(u.bytes(), at);
      case CONSTANT -> {
        if (part.checked() && part.value().matchAt(u.bytes(), at, u.count()) < part.bytes()) {
          return Scan.garbage(1);
        }
      }
      case LENGTH -> {
        return takeLength(part, at);
      }
      case DATA, CHECKSUM, START, END -> {}
    }
    return null;
  }

  private @Nullable Scan takeCode(long value) {
    code = value;
    if (d.exception().isPresent() && (value & d.exception().get().codeBits()) != 0) {
      exception = true;
      code = value & ~d.exception().get().codeBits();
      parts = layout.inner(true);
      dataLength = d.exception().get().dataBytes();
    }
    boolean known = d.codes().isEmpty() || d.codes().contains(code);
    return known ? null : Scan.garbage(1);
  }

  private @Nullable Scan takeLength(FramePart part, int at) {
    LengthRule rule = d.length().orElseThrow();
    int counted = rule.decode(part.read(u.bytes(), at));
    int others = layout.counted(parts, rule.counts(), 0);
    dataLength = counted - others;
    if (counted < 0 || dataLength < 0 || dataLength > d.mostData()) {
      boolean plausible = expected.plausible(address, code, -1);
      String found =
          "length part " + Bytes.hex(Arrays.copyOfRange(u.bytes(), at, at + part.bytes()), 8);
      return broken(plausible, Refusal.Reason.LENGTH, at, found + " cannot be");
    }
    return null;
  }

  // ---- the length ------------------------------------------------------------------------------

  private @Nullable Scan findDataLength() {
    if (dataLength >= 0) {
      return null;
    }
    switch (d.ending()) {
      case DELIMITER -> {
        if (u.stop() != Wire.Stop.END_MARK) {
          return missing(Math.max(u.count() + 1, headerBytes + trailerBytes));
        }
        dataLength = u.count() - headerBytes - trailerBytes;
      }
      case SILENCE -> {
        if (wholeBeforeSilence()) {
          return null;
        }
        if (!silent) {
          return missing(Math.max(u.count() + 1, headerBytes + trailerBytes));
        }
        dataLength = u.count() - headerBytes - trailerBytes;
      }
      case FIXED, LENGTH -> {
        byte[] data = Arrays.copyOfRange(u.bytes(), headerBytes, u.count());
        dataLength = expected.dataLength(code, data, data.length);
        if (dataLength < 0) {
          return missing(u.count() + 1);
        }
      }
    }
    if (dataLength < 0 || dataLength > d.mostData()) {
      return plausible()
          ? broken(true, Refusal.Reason.LENGTH, headerBytes, "too short or too long")
          : Scan.garbage(1);
    }
    return null;
  }

  /** A described length and a fitting check value end a frame without waiting for silence. */
  private boolean wholeBeforeSilence() {
    byte[] data = Arrays.copyOfRange(u.bytes(), headerBytes, u.count());
    int described = expected.dataLength(code, data, data.length);
    if (described < 0 || described > u.count() - headerBytes - trailerBytes) {
      return false;
    }
    dataLength = described;
    if (d.checksum().isPresent() && checkTrailer() == null) {
      return true;
    }
    dataLength = -1;
    return false;
  }

  // ---- the whole -------------------------------------------------------------------------------

  private Scan whole() {
    int total = headerBytes + dataLength + trailerBytes;
    if (u.count() < total) {
      return missing(total);
    }
    int wireEnd = u.wireAfter(total);
    int matched = layout.end().matchAt(buffer, wireEnd, to);
    if (matched < layout.end().length()) {
      if (wireEnd + matched == to && !silent) {
        return Scan.need(layout.end().length() - matched, plausible(), headed);
      }
      return broken(plausible(), Refusal.Reason.FRAMING, total, "the end bytes are missing");
    }
    int tailAt = wireEnd + layout.end().length();
    Scan wrong = checkTrailer();
    wrong = wrong == null ? checkBehindEnd(tailAt) : wrong;
    if (wrong != null) {
      return wrong;
    }
    byte[] data = Arrays.copyOfRange(u.bytes(), headerBytes, headerBytes + dataLength);
    int length = wireEnd + layout.bytesFromEnd() - from;
    if (result != Frame.NONE && !isGood(result)) {
      return Scan.frame(length, new Frame(address, code, resultBytes(), headerBytes, true));
    }
    int offset = layout.start().length() + headerBytes;
    return Scan.frame(length, new Frame(address, code, data, offset, exception));
  }

  private @Nullable Scan checkBehindEnd(int tailAt) {
    FramePart part = layout.behindEnd().orElse(null);
    if (part == null) {
      return null;
    }
    int at = layout.start().length() + headerBytes + dataLength + trailerBytes;
    int there = to - tailAt;
    if (there < part.bytes()) {
      return silent
          ? broken(plausible(), Refusal.Reason.LENGTH, at, "the check value is missing")
          : Scan.need(part.bytes() - there, plausible(), headed);
    }
    return checked(part, layout.checkValueRead(part, buffer, tailAt), at);
  }

  private @Nullable Scan checked(FramePart part, long found, int place) {
    long owner = address == Frame.NONE ? expected.address() : address;
    long right = layout.checkValue(parts, Covered.read(buffer, u, dataLength, owner));
    if (found == right) {
      return null;
    }
    String text = String.format(Locale.ROOT, "check value is %X, computed %X", found, right);
    String hint = isTurnedAround(found, right) ? turned(part) : "";
    return broken(plausible(), Refusal.Reason.CHECKSUM, place, text + hint);
  }

  private boolean isTurnedAround(long found, long right) {
    int bits = 8 * d.checksum().orElseThrow().checksum().bytes();
    return bits > 8 && found == Long.reverseBytes(right) >>> (64 - bits);
  }

  private static String turned(FramePart part) {
    String order = part.lowFirst() ? "big" : "little";
    return "; with order = \"" + order + "\" in [frame.checksum] it would be right";
  }

  private boolean isGood(long value) {
    for (FramePart part : parts) {
      if (part.kind() == FramePart.Kind.RESULT) {
        return Numbers.unsigned(part.value().array(), 0, part.bytes(), part.lowFirst()) == value;
      }
    }
    return true;
  }

  private byte[] resultBytes() {
    return new byte[] {(byte) result};
  }

  private @Nullable Scan checkTrailer() {
    int at = headerBytes + dataLength;
    boolean afterData = false;
    int place = 0;
    for (FramePart part : parts) {
      afterData |= part.kind() == FramePart.Kind.DATA;
      place = afterData ? at : place;
      if (part.kind() == FramePart.Kind.CHECKSUM) {
        Scan wrong = checked(part, layout.checkValueRead(part, u.bytes(), place), place);
        if (wrong != null) {
          return wrong;
        }
      } else if (afterData && part.kind() == FramePart.Kind.CONSTANT && part.checked()) {
        if (part.value().matchAt(u.bytes(), place, u.count()) < part.bytes()) {
          return broken(plausible(), Refusal.Reason.FRAMING, place, part.name() + " is wrong");
        }
      }
      if (part.kind() != FramePart.Kind.DATA) {
        place += part.bytes();
        at = afterData ? place : at;
      }
    }
    return null;
  }

  // ---- words -----------------------------------------------------------------------------------

  private boolean plausible() {
    return expected.plausible(address, code, exception ? -1 : dataLength);
  }

  /** More bytes are needed, or, when none can come, the frame is too short. */
  private Scan missing(int total) {
    if (total > headerBytes + d.mostData() + Math.max(trailerBytes, 64)) {
      return Scan.garbage(1);
    }
    if (u.stop() == Wire.Stop.RAN_OUT && !silent) {
      int wanted = d.wire().least(total - u.count()) + layout.bytesFromEnd();
      return Scan.need(wanted, plausible(), headed);
    }
    if (!headed) {
      return Scan.garbage(1);
    }
    if (u.stop() == Wire.Stop.INVALID) {
      return plausible()
          ? broken(true, Refusal.Reason.FRAMING, u.count(), "a byte that cannot stand here")
          : Scan.garbage(1);
    }
    String text = Spoken.counted(u.count(), "byte") + " instead of " + total;
    return broken(plausible(), Refusal.Reason.LENGTH, u.count(), text);
  }

  private Scan broken(boolean plausible, Refusal.Reason reason, int at, String detail) {
    return Scan.broken(plausible, reason, layout.start().length() + at, detail);
  }
}
