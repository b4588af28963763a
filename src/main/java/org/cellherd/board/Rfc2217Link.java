package org.cellherd.board;

import java.io.ByteArrayOutputStream;
import java.util.HexFormat;
import java.util.Locale;
import org.cellherd.pack.Gap;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;

/**
 * A serial line behind a network bridge that lets its settings be set over Telnet, by RFC 2217: the
 * settings that the bridge answers are compared with those asked for. One thread.
 */
final class Rfc2217Link implements Link {
  private static final int COM_PORT = 44;
  private static final int BINARY = 0;
  private static final int NO_GO_AHEAD = 3;
  private static final int SET_BAUD = 1;
  private static final int SET_DATA_SIZE = 2;
  private static final int SET_PARITY = 3;
  private static final int SET_STOP_SIZE = 4;
  private static final int SET_CONTROL = 5;
  private static final int PURGE = 12;

  /** The server's answer has the client's command plus this. */
  private static final int ANSWER = 100;

  private static final long NEGOTIATION_NANOS = 3_000_000_000L;

  private final TcpLink tcp;
  private final TimeSource time;
  private final String name;
  private TelnetDecoder decoder = new TelnetDecoder();

  public Rfc2217Link(String host, int port, TimeSource time) {
    this.name = new LinkAddress.Network(LinkAddress.Way.RFC2217, host, port).text();
    this.tcp = new TcpLink(name, host, port, time);
    this.time = time;
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    decoder = new TelnetDecoder();
    tcp.open(line);
    try {
      offer();
      set(SET_BAUD, String.format(Locale.ROOT, "%08x", line.baud()), "baud " + line.baud());
      set(SET_DATA_SIZE, octet(line.dataBits()), line.dataBits() + " data bits");
      set(SET_PARITY, octet(parityCode(line)), "parity " + line.parity());
      set(SET_STOP_SIZE, octet(line.stopBits()), line.stopBits() + " stop bits");
      set(SET_CONTROL, octet(1), "no flow control");
      send(PURGE, octet(3));
    } catch (LinkException e) {
      close();
      throw e;
    }
  }

  private static int parityCode(LineSettings line) {
    return switch (line.parity()) {
      case NONE -> 1;
      case ODD -> 2;
      case EVEN -> 3;
    };
  }

  private static String octet(int value) {
    return HexFormat.of().toHexDigits((byte) value);
  }

  private void offer() throws LinkException {
    byte[] offers = {
      (byte) TelnetDecoder.IAC, (byte) TelnetDecoder.WILL, COM_PORT,
      (byte) TelnetDecoder.IAC, (byte) TelnetDecoder.WILL, BINARY,
      (byte) TelnetDecoder.IAC, (byte) TelnetDecoder.DO, BINARY,
      (byte) TelnetDecoder.IAC, (byte) TelnetDecoder.WILL, NO_GO_AHEAD,
      (byte) TelnetDecoder.IAC, (byte) TelnetDecoder.DO, NO_GO_AHEAD,
    };
    tcp.write(offers);
    long deadline = time.monotonicNanos() + NEGOTIATION_NANOS;
    while (true) {
      TelnetDecoder.Command command = await(deadline, "the offer of the serial-port option");
      if (command.option() == COM_PORT && command.verb() == TelnetDecoder.DO) {
        return;
      }
      if (command.option() == COM_PORT && command.verb() == TelnetDecoder.DONT) {
        throw refused("the bridge does not let its line be set; try tcp: in place of rfc2217:");
      }
      answer(command);
    }
  }

  private void set(int what, String value, String meaning) throws LinkException {
    send(what, value);
    String expected = octet(what + ANSWER);
    long deadline = time.monotonicNanos() + NEGOTIATION_NANOS;
    while (true) {
      TelnetDecoder.Command command = await(deadline, meaning);
      if (command.verb() != TelnetDecoder.SB || command.option() != COM_PORT) {
        answer(command);
        continue;
      }
      if (!command.value().startsWith(expected)) {
        continue;
      }
      String got = command.value().substring(expected.length());
      if (got.equals(value)) {
        return;
      }
      throw refused("asked for " + meaning + ", the bridge set " + readable(what, got));
    }
  }

  private static String readable(int what, String hex) {
    return what == SET_BAUD && hex.length() == 8
        ? Long.toString(Long.parseLong(hex, 16))
        : "code 0x" + hex;
  }

  private void send(int what, String hexValue) throws LinkException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(TelnetDecoder.IAC);
    out.write(TelnetDecoder.SB);
    out.write(COM_PORT);
    out.write(what);
    out.writeBytes(TelnetDecoder.escape(HexFormat.of().parseHex(hexValue)));
    out.write(TelnetDecoder.IAC);
    out.write(TelnetDecoder.SE);
    tcp.write(out.toByteArray());
  }

  private TelnetDecoder.Command await(long deadline, String what) throws LinkException {
    byte[] buffer = new byte[256];
    while (true) {
      TelnetDecoder.Command command = decoder.nextCommand();
      if (command != null) {
        return command;
      }
      long left = (deadline - time.monotonicNanos()) / 1_000_000L;
      if (left <= 0 || Thread.currentThread().isInterrupted()) {
        throw refused("no answer to " + what + "; is this an RFC 2217 port? else use tcp:");
      }
      decoder.decode(buffer, tcp.read(buffer, (int) left));
    }
  }

  private LinkException refused(String why) {
    return new LinkException(Gap.Cause.PORT_REFUSED, name + ": " + why);
  }

  /** Declines what was not offered; agreement to our own offers needs no answer. */
  private void answer(TelnetDecoder.Command command) throws LinkException {
    int option = command.option();
    boolean isWanted = option == BINARY || option == NO_GO_AHEAD || option == COM_PORT;
    if (isWanted) {
      return;
    }
    if (command.verb() == TelnetDecoder.WILL) {
      tcp.write(new byte[] {(byte) TelnetDecoder.IAC, (byte) TelnetDecoder.DONT, (byte) option});
    } else if (command.verb() == TelnetDecoder.DO) {
      tcp.write(new byte[] {(byte) TelnetDecoder.IAC, (byte) TelnetDecoder.WONT, (byte) option});
    }
  }

  @Override
  public boolean isOpen() {
    return tcp.isOpen();
  }

  @Override
  public int pauseMs() {
    return tcp.pauseMs();
  }

  @Override
  public boolean mayBeHalfOpen() {
    return true;
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    tcp.write(TelnetDecoder.escape(bytes));
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    int data = decoder.decode(buffer, tcp.read(buffer, timeoutMs));
    for (TelnetDecoder.Command c = decoder.nextCommand(); c != null; c = decoder.nextCommand()) {
      answer(c);
    }
    return data;
  }

  @Override
  public void discardInput() throws LinkException {
    byte[] bin = new byte[4096];
    for (int i = 0; i < 16 && tcp.isOpen(); i++) {
      int n = tcp.read(bin, 0);
      if (n == 0) {
        return;
      }
      decoder.decode(bin, n);
    }
  }

  @Override
  public void close() {
    tcp.close();
  }
}
