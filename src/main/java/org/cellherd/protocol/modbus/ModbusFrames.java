package org.cellherd.protocol.modbus;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.checksum.Sum;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.ChecksumRule;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.FrameLayout.Ending;
import org.cellherd.protocol.frame.FrameLayout.ExceptionRule;
import org.cellherd.protocol.frame.FramePart;
import org.cellherd.protocol.frame.FramePart.Kind;
import org.cellherd.protocol.frame.LengthRule;
import org.cellherd.protocol.frame.ResultWords;
import org.cellherd.protocol.frame.Wire;

/** The frames of Modbus over a serial line; requests are eight bytes, answers tell their length. */
public final class ModbusFrames {

  /** Data of a Modbus answer: 125 registers of two bytes. */
  private static final int MOST_MODBUS_DATA = 250;

  private static final Set<Long> READ_FUNCTIONS = Set.of(3L, 4L);

  /**
   * Meaning of Modbus exception codes. After 5 and 6 the server is at work on something long, and
   * the client is to ask again later (Modbus application protocol V1.1b3, 7).
   */
  public static final ResultWords EXCEPTIONS =
      new ResultWords(
          Map.ofEntries(
              Map.entry(1L, "illegal function"),
              Map.entry(2L, "illegal data address: the register map is wrong"),
              Map.entry(3L, "illegal data value: the register map is wrong"),
              Map.entry(4L, "device failure"),
              Map.entry(5L, "acknowledge, still working"),
              Map.entry(6L, "busy, retry later"),
              Map.entry(7L, "negative acknowledge"),
              Map.entry(8L, "memory parity error"),
              Map.entry(10L, "gateway path unavailable"),
              Map.entry(11L, "gateway target did not answer")),
          Set.of(5L, 6L));

  private ModbusFrames() {}

  /** Binary frames. */
  public static FrameLayout rtu(boolean reply) {
    Checksum crc = Checksums.named("crc-16/modbus").orElseThrow();
    FramePart check = FramePart.number("checksum", Kind.CHECKSUM, 2, true);
    return modbus(reply, List.of(), List.of(check), Wire.BINARY, crc);
  }

  /** Frames in hex digits. */
  public static FrameLayout ascii(boolean reply) {
    FramePart start = FramePart.constant("start", Kind.START, Bytes.of((byte) ':'), true);
    FramePart end = FramePart.constant("end", Kind.END, Bytes.of((byte) '\r', (byte) '\n'), true);
    FramePart check = FramePart.number("checksum", Kind.CHECKSUM, 1, false);
    return modbus(reply, List.of(start), List.of(check, end), Wire.HEX, Sum.SUM8_TWOS);
  }

  private static FrameLayout modbus(
      boolean reply, List<FramePart> before, List<FramePart> after, Wire wire, Checksum checksum) {
    FramePart address = FramePart.number("address", Kind.ADDRESS, 1, false);
    FramePart code = FramePart.number("code", Kind.CODE, 1, false);
    FramePart length = FramePart.number("length", Kind.LENGTH, 1, false);
    List<FramePart> plain = join(before, List.of(address, code, FramePart.data()), after);
    List<FramePart> parts =
        reply ? join(before, List.of(address, code, length, FramePart.data()), after) : plain;
    Set<String> covers = Set.of("address", "code", "length", "data");
    return new FrameLayout(
        new FrameLayout.Description(
            parts,
            wire,
            reply ? Ending.LENGTH : Ending.FIXED,
            reply ? Optional.of(new LengthRule(Set.of("data"), 0, false, false)) : Optional.empty(),
            Optional.of(ChecksumRule.of(checksum, covers)),
            MOST_MODBUS_DATA,
            reply ? READ_FUNCTIONS : Set.of(),
            reply ? Optional.of(new ExceptionRule(0x80, plain, 1)) : Optional.empty()));
  }

  private static List<FramePart> join(List<FramePart> a, List<FramePart> b, List<FramePart> c) {
    return Stream.of(a, b, c).flatMap(List::stream).toList();
  }
}
