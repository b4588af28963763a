package org.cellherd.protocol.bringup;

import static org.cellherd.protocol.bringup.InventedLine.bytes;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.function.ToLongFunction;
import org.cellherd.protocol.bringup.EmulatedData.Share;
import org.cellherd.protocol.bringup.EmulatedPack.Instant;

/** A board of drawn make-up. Shares no code with the search or the decoders. */
final class EmulatedBoard {

  /** How messages are bounded. */
  enum Form {
    LENGTH,
    SIZE,
    ESCAPED,
    HEX_LINE,
    MODBUS
  }

  /** Who speaks, and what of it a capture can tell apart. */
  enum Talk {
    ASKED,
    BY_ITSELF,
    /** Requests and answers on one wire. */
    ONE_WIRE
  }

  /** A check value: name in the descriptions, its bytes, and the emulator's own arithmetic. */
  private record Check(String word, int bytes, ToLongFunction<byte[]> rule) {
    static Check crc(String word, BitwiseCrc crc) {
      return new Check(word, word.startsWith("crc-8") ? 1 : 2, crc::over);
    }

    long over(byte[] covered) {
      return rule.applyAsLong(covered);
    }
  }

  private static long sum(byte[] covered) {
    long sum = 0;
    for (byte b : covered) {
      sum += b & 0xFF;
    }
    return sum;
  }

  private static long xor(byte[] covered) {
    long xor = 0;
    for (byte b : covered) {
      xor ^= b & 0xFF;
    }
    return xor;
  }

  private static final List<Check> CHECKS =
      List.of(
          new Check("sum8", 1, EmulatedBoard::sum),
          new Check("sum8-twos", 1, b -> -sum(b)),
          new Check("xor8", 1, EmulatedBoard::xor),
          new Check("sum16", 2, EmulatedBoard::sum),
          new Check("sum16-twos", 2, b -> -sum(b)),
          Check.crc("crc-8/smbus", new BitwiseCrc(8, 0x07, 0, false, 0)),
          Check.crc("crc-16/modbus", new BitwiseCrc(16, 0x8005, 0xFFFF, true, 0)),
          Check.crc("crc-16/xmodem", new BitwiseCrc(16, 0x1021, 0, false, 0)),
          Check.crc("crc-16/ibm-3740", new BitwiseCrc(16, 0x1021, 0xFFFF, false, 0)),
          Check.crc("crc-16/ibm-sdlc", new BitwiseCrc(16, 0x1021, 0xFFFF, true, 0xFFFF)));
  private static final Check MODBUS = CHECKS.get(6);
  private static final Check LRC = CHECKS.get(1);

  private final EmulatedPack pack;
  private final Form form;
  private final Talk talk;
  private final Check check;
  private final EmulatedData data;
  private final byte[] start;
  private final boolean isCheckLow;
  private final boolean isStartCovered;
  private final boolean hasEnd;
  private final boolean hasFeed;
  private final int address;
  private final int firstCode;
  private final Share share;

  EmulatedBoard(Random random) {
    Chances chances = new Chances(random);
    pack = new EmulatedPack(random);
    form = chances.of(Arrays.asList(Form.values()));
    talk = form == Form.MODBUS && chances.once(2) ? Talk.ASKED : chances.of(List.of(Talk.values()));
    share = chances.of(List.of(Share.ONE, Share.ONE, Share.TWO, Share.PAGES));
    check =
        form == Form.MODBUS
            ? MODBUS
            : form == Form.HEX_LINE && chances.once(2) ? LRC : any(chances);
    data = new EmulatedData(chances, isPaged() ? share : noPages(), form == Form.MODBUS);
    byte[] marks = new byte[1 + chances.upTo(2)];
    for (int i = 0; i < marks.length; i++) {
      marks[i] = (byte) (0x80 + chances.upTo(0x7F));
    }
    start = form == Form.ESCAPED ? new byte[] {0x7E} : marks;
    isCheckLow = form == Form.MODBUS || chances.once(2);
    isStartCovered = form != Form.ESCAPED && form != Form.HEX_LINE && chances.once(2);
    hasEnd = chances.once(3);
    hasFeed = chances.once(2);
    address = 1 + chances.upTo(9);
    firstCode = 0x10 + chances.upTo(0x60);
  }

  private static Check any(Chances chances) {
    return chances.of(CHECKS);
  }

  private boolean isPaged() {
    return form != Form.MODBUS;
  }

  private Share noPages() {
    return share == Share.PAGES ? Share.TWO : share;
  }

  EmulatedPack pack() {
    return pack;
  }

  Talk talk() {
    return talk;
  }

  int address() {
    return address;
  }

  String check() {
    return check.word();
  }

  /** The answers that tell an instant, as they stand on the wire. */
  List<byte[]> answers(Instant instant) {
    List<byte[]> all = new ArrayList<>();
    List<byte[]> parts = data.of(instant);
    for (int i = 0; i < parts.size(); i++) {
      all.add(form == Form.MODBUS ? registers(parts.get(i)) : framed(code(i), parts.get(i)));
    }
    return all;
  }

  /** What asks for the answer of a rank. */
  byte[] request(int rank, byte[] answer) {
    if (form == Form.MODBUS) {
      int count = (answer.length - 5) / 2;
      return checked(bytes(address, 3, rank, 0x20, count >> 8, count));
    }
    byte[] data = share == Share.PAGES ? bytes(rank) : new byte[0];
    return framed(code(rank) | 0x80, data);
  }

  private int code(int rank) {
    return share == Share.TWO ? firstCode + rank : firstCode;
  }

  private byte[] registers(byte[] data) {
    byte[] even = data.length % 2 == 0 ? data : bytes(data, 0);
    return checked(bytes(address, 3, even.length, even));
  }

  private byte[] framed(int code, byte[] data) {
    byte[] head = form == Form.LENGTH ? bytes(address, code, data.length) : bytes(address, code);
    byte[] body = bytes(head, data);
    return switch (form) {
      case ESCAPED -> bytes(0x7E, escaped(checked(body)), 0x7E);
      case HEX_LINE -> line(checked(body));
      default -> {
        byte[] whole = isStartCovered ? checked(bytes(start, body)) : bytes(start, checked(body));
        yield hasEnd ? bytes(whole, 0x0D) : whole;
      }
    };
  }

  private byte[] checked(byte[] covered) {
    long value = check.over(covered);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(covered);
    for (int i = 0; i < check.bytes(); i++) {
      out.write((int) (value >>> (8 * (isCheckLow ? i : check.bytes() - 1 - i))));
    }
    return out.toByteArray();
  }

  private static byte[] escaped(byte[] plain) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte b : plain) {
      if (b == 0x7E || b == 0x7D) {
        out.write(0x7D);
        out.write(b ^ 0x20);
      } else {
        out.write(b);
      }
    }
    return out.toByteArray();
  }

  private byte[] line(byte[] bytes) {
    StringBuilder text = new StringBuilder(":");
    for (byte b : bytes) {
      text.append(String.format(Locale.ROOT, "%02X", b & 0xFF));
    }
    text.append(hasFeed ? "\r\n" : "\r");
    return text.toString().getBytes(StandardCharsets.US_ASCII);
  }

  @Override
  public String toString() {
    return form
        + " "
        + talk
        + " "
        + check.word()
        + (isCheckLow && check.bytes() > 1 ? " low" : "")
        + (isStartCovered ? " with start" : "")
        + ", "
        + pack.cells()
        + " cells, "
        + data;
  }
}
