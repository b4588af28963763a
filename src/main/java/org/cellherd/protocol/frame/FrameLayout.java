package org.cellherd.protocol.frame;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/**
 * A frame as a row of parts. Immutable.
 *
 * <pre>
 * start | address | code | length | data | checksum | end      in any order, most of them optional
 *         └──────── written by the wire form (plain, hex, escaped) ───────┘
 * </pre>
 *
 * The data must come after address, code and length; everything after the data has a fixed size. A
 * check value may also stand behind the end mark, always plain.
 */
public final class FrameLayout implements Framing {

  /** How the end of a frame is known. */
  public enum Ending {
    /** The length part says. */
    LENGTH,
    /** The message has a known size. */
    FIXED,
    /** The end mark. */
    DELIMITER,
    /** Nothing more comes for a while. */
    SILENCE
  }

  /**
   * What makes a layout.
   *
   * @param parts in the order of the wire
   * @param wire how bytes between start and end are written
   * @param ending how the end is known
   * @param length the length part's rule, when there is one
   * @param checksum the check value's rule, when there is one
   * @param mostData most bytes of data
   * @param codes codes that exist on this line; empty when any may
   * @param exception how a refusal of the board looks, when it has a form of its own
   */
  public record Description(
      List<FramePart> parts,
      Wire wire,
      Ending ending,
      Optional<LengthRule> length,
      Optional<ChecksumRule> checksum,
      int mostData,
      Set<Long> codes,
      Optional<ExceptionRule> exception) {}

  /**
   * A refusal that is told by a bit in the code.
   *
   * @param codeBits bits set in the code
   * @param parts the refusal's own parts
   * @param dataBytes bytes of its data
   */
  public record ExceptionRule(long codeBits, List<FramePart> parts, int dataBytes) {}

  /** Name of the address in {@code covers}, whether the frame holds it or not. */
  private static final String ADDRESS = "address";

  private final Description d;
  private final List<FramePart> inner;
  private final Optional<FramePart> behindEnd;
  private final Bytes start;
  private final Bytes end;
  private final int fixedBytes;
  private final int headerBytes;

  public FrameLayout(Description description) {
    this.d = description;
    this.start = raw(description.parts, FramePart.Kind.START);
    this.end = raw(description.parts, FramePart.Kind.END);
    this.inner = inner(description.parts);
    this.behindEnd = behindEnd(description.parts);
    this.fixedBytes = fixedBytes(inner);
    this.headerBytes = headerBytes(inner);
  }

  private static Bytes raw(List<FramePart> parts, FramePart.Kind kind) {
    return parts.stream()
        .filter(p -> p.kind() == kind)
        .findFirst()
        .map(FramePart::value)
        .orElse(Bytes.NONE);
  }

  private static List<FramePart> inner(List<FramePart> parts) {
    return parts.stream()
        .takeWhile(p -> p.kind() != FramePart.Kind.END)
        .filter(p -> p.kind() != FramePart.Kind.START)
        .toList();
  }

  private static Optional<FramePart> behindEnd(List<FramePart> parts) {
    return parts.stream()
        .dropWhile(p -> p.kind() != FramePart.Kind.END)
        .filter(p -> p.kind() == FramePart.Kind.CHECKSUM)
        .findFirst();
  }

  /** The same parts, with the end known by the size of the message. */
  public FrameLayout endingBySize() {
    return with(Ending.FIXED, d.mostData);
  }

  /**
   * The same parts for messages no longer than so many bytes, unless the frame tells its length:
   * the parser then gives up sooner on garbage.
   */
  public FrameLayout holding(int mostData) {
    return d.ending == Ending.LENGTH ? this : with(d.ending, Math.min(mostData, d.mostData));
  }

  private FrameLayout with(Ending ending, int mostData) {
    return new FrameLayout(
        new Description(
            d.parts, d.wire, ending, d.length, d.checksum, mostData, d.codes, d.exception));
  }

  public Description description() {
    return d;
  }

  @Override
  public boolean endsBySilence() {
    return d.ending() == Ending.SILENCE;
  }

  @Override
  public int longest() {
    return start.length() + d.wire.most(fixedBytes + d.mostData) + bytesFromEnd();
  }

  @Override
  public int wireLength(long code, int dataLength) {
    return start.length() + d.wire.least(fixedBytes + dataLength) + bytesFromEnd();
  }

  /** Bytes of the end mark and of a check value behind it. */
  int bytesFromEnd() {
    return end.length() + behindEnd.map(FramePart::bytes).orElse(0);
  }

  private static int headerBytes(List<FramePart> parts) {
    int bytes = 0;
    for (FramePart part : parts) {
      if (part.kind() == FramePart.Kind.DATA) {
        return bytes;
      }
      bytes += part.bytes();
    }
    return bytes;
  }

  private static int fixedBytes(List<FramePart> parts) {
    return parts.stream().mapToInt(FramePart::bytes).sum();
  }

  // ---- reading ---------------------------------------------------------------------------------

  @Override
  public Scan scan(byte[] buffer, int from, int to, Expectation expected, boolean silent) {
    int matched = start.matchAt(buffer, from, to);
    if (matched < start.length()) {
      boolean ranOut = from + matched == to && !silent;
      return ranOut ? Scan.need(start.length() - matched, true) : Scan.garbage(1);
    }
    if (candidate(buffer, from, to, headerBytes, expected, silent).isGarbage()) {
      return Scan.garbage(1);
    }
    return candidate(buffer, from, to, fixedBytes + d.mostData, expected, silent).verdict();
  }

  private FrameCandidate candidate(
      byte[] buffer, int from, int to, int room, Expectation expected, boolean silent) {
    Bytes mark = d.wire.isPlain() && d.ending != Ending.DELIMITER ? Bytes.NONE : end;
    Wire.Unwrapped u = d.wire.unwrap(buffer, from + start.length(), to, room, mark);
    return new FrameCandidate(this, buffer, from, to, u, expected, silent);
  }

  Bytes start() {
    return start;
  }

  Bytes end() {
    return end;
  }

  /** The check value that stands behind the end mark. */
  Optional<FramePart> behindEnd() {
    return behindEnd;
  }

  List<FramePart> inner(boolean exception) {
    return exception ? inner(d.exception.orElseThrow().parts) : inner;
  }

  // ---- writing ---------------------------------------------------------------------------------

  @Override
  public byte[] build(long address, long code, byte[] data) {
    return build(inner, address, code, data);
  }

  @Override
  public byte[] buildException(long address, long code, int reason) {
    if (d.exception.isEmpty()) {
      return new byte[0];
    }
    ExceptionRule rule = d.exception.get();
    byte[] data = new byte[rule.dataBytes];
    Numbers.put(data, 0, data.length, false, reason);
    return build(inner(rule.parts), address, code | rule.codeBits, data);
  }

  private byte[] build(List<FramePart> parts, long address, long code, byte[] data) {
    byte[] bytes = new byte[fixedBytes(parts) + data.length];
    int at = 0;
    for (FramePart part : parts) {
      switch (part.kind()) {
        case ADDRESS -> part.write(bytes, at, address);
        case CODE -> part.write(bytes, at, code);
        case LENGTH -> part.write(bytes, at, lengthNumber(parts, data.length));
        case DATA -> System.arraycopy(data, 0, bytes, at, data.length);
        case CONSTANT, RESULT -> System.arraycopy(part.value().array(), 0, bytes, at, part.bytes());
        case CHECKSUM, START, END -> {}
      }
      at += part.kind() == FramePart.Kind.DATA ? data.length : part.bytes();
    }
    writeChecksum(parts, bytes, data.length, address);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(start.array());
    out.writeBytes(d.wire.wrap(bytes, 0, bytes.length));
    out.writeBytes(end.array());
    behindEnd.ifPresent(
        part -> {
          byte[] tail = new byte[part.bytes()];
          Covered checked = Covered.written(bytes, data.length, address);
          writeValue(part, tail, 0, checkValue(parts, checked));
          out.writeBytes(tail);
        });
    return out.toByteArray();
  }

  private long lengthNumber(List<FramePart> parts, int dataLength) {
    LengthRule rule = d.length.orElseThrow();
    return rule.encode(counted(parts, rule.counts(), dataLength));
  }

  /** Bytes of the named parts, raw start and end included. */
  int counted(List<FramePart> parts, Set<String> names, int dataLength) {
    int sum = names.contains("start") ? start.length() : 0;
    sum += names.contains("end") ? end.length() : 0;
    for (FramePart part : parts) {
      if (names.contains(part.name())) {
        sum += part.kind() == FramePart.Kind.DATA ? dataLength : part.bytes();
      }
    }
    return sum;
  }

  private void writeChecksum(List<FramePart> parts, byte[] bytes, int dataLength, long address) {
    int at = 0;
    for (FramePart part : parts) {
      if (part.kind() == FramePart.Kind.CHECKSUM) {
        Covered checked = Covered.written(bytes, dataLength, address);
        writeValue(part, bytes, at, checkValue(parts, checked));
      }
      at += part.kind() == FramePart.Kind.DATA ? dataLength : part.bytes();
    }
  }

  private void writeValue(FramePart part, byte[] bytes, int at, long value) {
    if (!d.checksum.orElseThrow().inHex()) {
      part.write(bytes, at, value);
      return;
    }
    String text = String.format(Locale.ROOT, "%0" + part.bytes() + "X", value);
    System.arraycopy(text.getBytes(StandardCharsets.US_ASCII), 0, bytes, at, part.bytes());
  }

  /** The check value of a frame's parts. */
  long checkValue(List<FramePart> parts, Covered c) {
    ChecksumRule rule = d.checksum.orElseThrow();
    ByteArrayOutputStream covered = new ByteArrayOutputStream();
    if (rule.covers().contains(ADDRESS) && !holdsAddress(parts)) {
      covered.write((int) Math.max(0, c.address()));
    }
    if (rule.covers().contains("start")) {
      covered.writeBytes(start.array());
    }
    int at = 0;
    for (FramePart part : parts) {
      int size = part.kind() == FramePart.Kind.DATA ? c.dataLength() : part.bytes();
      if (rule.covers().contains(part.name())) {
        cover(covered, rule, c, at, size);
      }
      at += size;
    }
    if (rule.covers().contains("end")) {
      covered.writeBytes(end.array());
    }
    return rule.over(covered.toByteArray(), c.address());
  }

  private static boolean holdsAddress(List<FramePart> parts) {
    return parts.stream().anyMatch(p -> p.kind() == FramePart.Kind.ADDRESS);
  }

  private void cover(ByteArrayOutputStream out, ChecksumRule rule, Covered c, int at, int size) {
    out.writeBytes(rule.overCharacters() ? c.characters(d.wire, at, size) : c.bytes(at, size));
  }

  /** The check value as it stands in a frame, or -1 when its hex digits are none. */
  long checkValueRead(FramePart part, byte[] bytes, int at) {
    if (!d.checksum.orElseThrow().inHex()) {
      return part.read(bytes, at);
    }
    String digits = new String(bytes, at, part.bytes(), StandardCharsets.ISO_8859_1);
    return digits.matches("[0-9A-Fa-f]+") ? HexFormat.fromHexDigitsToLong(digits) : -1;
  }
}
