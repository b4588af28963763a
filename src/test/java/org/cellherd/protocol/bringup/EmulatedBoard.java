package org.cellherd.protocol.bringup;

import static org.cellherd.protocol.bringup.InventedLine.bytes;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Random;
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
    MODBUS,
    CAN
  }

  /** Who speaks, and what of it a capture can tell apart. */
  enum Talk {
    ASKED,
    BY_ITSELF,
    /** Requests and answers on one wire. */
    ONE_WIRE
  }

  /** Where the check value of an escaped frame stands. */
  private enum Inside {
    ESCAPED,
    /** Over the bytes as sent, stuffed ones included. */
    AS_SENT,
    /** Plain, behind the end mark. */
    BEHIND
  }

  private static final HexFormat HEX = HexFormat.of().withUpperCase();

  private final EmulatedPack pack;
  private final Form form;
  private final Talk talk;
  private final EmulatedCheck check;
  private final EmulatedData data;
  private final byte[] start;
  private final EmulatedMarks marks;
  private final Inside inside;
  private final boolean isStartCovered;
  private final boolean hasEnd;
  private final boolean hasFeed;
  private final boolean isBareRequest;
  private final int address;
  private final int firstCode;
  private final Share share;

  EmulatedBoard(Random random) {
    Chances chances = new Chances(random);
    pack = new EmulatedPack(random);
    form = chances.of(Arrays.asList(Form.values()));
    talk = talk(chances);
    share = share(chances);
    address = 1 + chances.upTo(9);
    check = check(chances);
    data = new EmulatedData(chances, share, form == Form.MODBUS);
    start = new byte[1 + chances.upTo(2)];
    for (int i = 0; i < start.length; i++) {
      start[i] = (byte) (0x80 + chances.upTo(0x7F));
    }
    marks = EmulatedMarks.drawn(chances);
    inside = chances.once(3) ? chances.of(Arrays.asList(Inside.values())) : Inside.ESCAPED;
    isStartCovered = (form == Form.LENGTH || form == Form.SIZE) && chances.once(2);
    hasEnd = chances.once(3);
    hasFeed = chances.once(2);
    isBareRequest = chances.once(4);
    firstCode = 0x10 + chances.upTo(0x60);
  }

  private Talk talk(Chances chances) {
    if (form == Form.CAN) {
      return Talk.BY_ITSELF;
    }
    boolean isAsked = form == Form.MODBUS && chances.once(2);
    return isAsked ? Talk.ASKED : chances.of(Arrays.asList(Talk.values()));
  }

  private Share share(Chances chances) {
    if (form == Form.CAN) {
      return chances.of(List.of(Share.FRAMES, Share.MULTIPLEXED));
    }
    List<Share> all =
        List.of(Share.ONE, Share.ONE, Share.TWO, Share.SELDOM, Share.PAGES, Share.COUNTED);
    return chances.of(form == Form.MODBUS ? all.subList(0, 4) : all);
  }

  private EmulatedCheck check(Chances chances) {
    return switch (form) {
      case MODBUS -> EmulatedCheck.modbus();
      case HEX_LINE ->
          chances.once(2) ? EmulatedCheck.lrc() : EmulatedCheck.drawn(chances, address);
      default -> EmulatedCheck.drawn(chances, address);
    };
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

  /** True for frames that have no check value of their own: a controller judged it. */
  boolean isCheckedElsewhere() {
    return form == Form.CAN;
  }

  /** How far a cell may be off, 0.1 mV. */
  int toleranceTenthMv() {
    return data.toleranceTenthMv();
  }

  boolean isCheckCalled(String name) {
    return check.isCalled(name);
  }

  /** What tells an instant. */
  List<EmulatedMessage> messages(Instant instant) {
    return data.of(instant).stream().map(this::message).toList();
  }

  private EmulatedMessage message(EmulatedPart part) {
    return switch (form) {
      case MODBUS -> registers(part);
      case CAN -> frame(part);
      default -> new EmulatedMessage(request(part), framed(firstCode + part.rank(), part.bytes()));
    };
  }

  private byte[] request(EmulatedPart part) {
    int code = firstCode + part.rank();
    byte[] page = part.page() < 0 ? new byte[0] : bytes(part.page());
    return isBareRequest ? bytes(0xE5, code, page, 0x0A) : framed(code | 0x80, page);
  }

  private EmulatedMessage registers(EmulatedPart part) {
    byte[] data = part.bytes();
    byte[] even = data.length % 2 == 0 ? data : bytes(data, 0);
    return new EmulatedMessage(
        check.behind(bytes(address, 3, part.rank(), 0x20, 0, even.length / 2)),
        check.behind(bytes(address, 3, even.length, even)));
  }

  private EmulatedMessage frame(EmulatedPart part) {
    byte[] data = part.bytes();
    String id = String.format(Locale.ROOT, "t%03X%d", 0x100 + firstCode + part.rank(), data.length);
    String line = id + HEX.formatHex(data) + "\r";
    return new EmulatedMessage(new byte[0], line.getBytes(StandardCharsets.US_ASCII), data);
  }

  private byte[] framed(int code, byte[] data) {
    byte[] head = form == Form.LENGTH ? bytes(address, code, data.length) : bytes(address, code);
    byte[] body = bytes(head, data);
    return switch (form) {
      case ESCAPED -> marked(body);
      case HEX_LINE -> line(check.behind(body));
      default -> {
        byte[] whole =
            isStartCovered ? check.behind(bytes(start, body)) : bytes(start, check.behind(body));
        yield hasEnd ? bytes(whole, 0x0D) : whole;
      }
    };
  }

  private byte[] marked(byte[] body) {
    byte[] sent = marks.escaped(body);
    return switch (inside) {
      case ESCAPED -> bytes(marks.start(), marks.escaped(check.behind(body)), marks.end());
      case AS_SENT -> bytes(marks.start(), sent, marks.escaped(check.over(sent)), marks.end());
      case BEHIND -> bytes(marks.start(), sent, marks.end(), check.over(body));
    };
  }

  private byte[] line(byte[] bytes) {
    return (":" + HEX.formatHex(bytes) + (hasFeed ? "\r\n" : "\r"))
        .getBytes(StandardCharsets.US_ASCII);
  }

  @Override
  public String toString() {
    return form
        + " "
        + talk
        + (form == Form.CAN ? "" : " " + check)
        + (isStartCovered ? " with start" : "")
        + (form == Form.ESCAPED ? " " + marks + " check " + inside : "")
        + (talk == Talk.BY_ITSELF || !isBareRequest ? "" : " bare requests")
        + ", "
        + pack
        + ", "
        + data;
  }
}
