package org.cellherd.board;

import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Decoder;

/**
 * Where a board is reached, as the config writes it: {@code /dev/serial/by-id/...}, {@code
 * tcp:host:port}, {@code modbus-tcp:host:port} or {@code rfc2217:host:port}.
 */
public sealed interface LinkAddress {

  /** What is a host and a port, but not how they are spoken to. */
  Pattern HOST_PORT = Pattern.compile("([A-Za-z0-9._-]+|\\[[0-9A-Fa-f:.]+]):[0-9]{1,5}");

  /** How a host and port are spoken to. */
  enum Way {
    /** A bridge that passes bytes as they are. */
    TCP("tcp", 4001),
    /** A device that speaks Modbus TCP itself. */
    MODBUS_TCP("modbus-tcp", 502),
    /** A bridge whose line can be set over Telnet (RFC 2217). */
    RFC2217("rfc2217", 4001);

    private final String word;
    private final int usualPort;

    Way(String word, int usualPort) {
      this.word = word;
      this.usualPort = usualPort;
    }

    private String example(String host) {
      return "such as \"" + word + ":" + host + ":" + usualPort + "\"";
    }
  }

  /** A serial port by its path. */
  record Serial(String path) implements LinkAddress {
    @Override
    public Link link(TimeSource time) {
      return new SerialLink(path, time);
    }

    @Override
    public String text() {
      return path;
    }
  }

  /** A host and a port; {@code host} without brackets. */
  record Network(Way way, String host, int port) implements LinkAddress {
    @Override
    public Link link(TimeSource time) {
      return switch (way) {
        case TCP -> new TcpLink(host, port, time);
        case MODBUS_TCP -> new ModbusTcpLink(host, port, time);
        case RFC2217 -> new Rfc2217Link(host, port, time);
      };
    }

    @Override
    public String text() {
      return way.word + ":" + (host.contains(":") ? "[" + host + "]" : host) + ":" + port;
    }

    @Override
    public boolean carries(Decoder decoder) {
      return way != Way.MODBUS_TCP || decoder.isModbusRtu();
    }
  }

  /** A closed link to this address. */
  Link link(TimeSource time);

  /** How the config writes it. */
  String text();

  /** True when boards of this kind can be behind it. */
  default boolean carries(Decoder decoder) {
    return true;
  }

  /** Why a board of this kind cannot be behind it; empty when it can. */
  default Optional<String> problemWith(Decoder decoder) {
    return carries(decoder)
        ? Optional.empty()
        : Optional.of(
            text()
                + " carries Modbus only, and "
                + decoder.id()
                + " is not described with kind = \"modbus-rtu\"; a bridge that passes bytes is"
                + " tcp:");
  }

  /**
   * What came of reading an address.
   *
   * @param address empty when the text names none
   * @param problem what is wrong and what would be right; empty text when all is well
   */
  record Parsed(Optional<LinkAddress> address, String problem) {
    private static Parsed of(LinkAddress address) {
      return new Parsed(Optional.of(address), "");
    }

    private static Parsed wrong(String problem) {
      return new Parsed(Optional.empty(), problem);
    }
  }

  /** Reads an address; never throws. */
  static Parsed parse(String written) {
    String text = written.strip();
    if (text.isEmpty()) {
      return Parsed.wrong("is empty; " + allowed());
    }
    String lower = text.toLowerCase(Locale.ROOT);
    for (Way way : Way.values()) {
      if (lower.startsWith(way.word + ":")) {
        return parseHostPort(way, text.substring(way.word.length() + 1));
      }
    }
    String path = lower.startsWith("serial:") ? text.substring("serial:".length()) : text;
    if (path.indexOf('\0') >= 0) {
      return Parsed.wrong("holds a NUL character; " + allowed());
    }
    if (path.startsWith("/")) {
      return Parsed.of(new Serial(path));
    }
    if (HOST_PORT.matcher(path).matches()) {
      return Parsed.wrong(
          "\"" + text + "\" is no link, did you mean \"tcp:" + path + "\"? " + allowed());
    }
    if (path.startsWith("tty")) {
      return Parsed.wrong("\"" + text + "\" is no full path, did you mean \"/dev/" + path + "\"?");
    }
    return Parsed.wrong("\"" + text + "\" is no link; " + allowed());
  }

  private static Parsed parseHostPort(Way way, String rest) {
    String example = way.example("192.168.1.20");
    int colon = rest.lastIndexOf(':');
    if (colon <= 0 || colon == rest.length() - 1) {
      return Parsed.wrong("host and port are needed, " + example);
    }
    String host = rest.substring(0, colon);
    if (host.startsWith("[") && host.endsWith("]")) {
      host = host.substring(1, host.length() - 1);
    } else if (host.indexOf(':') >= 0) {
      return Parsed.wrong("an IPv6 address goes into brackets, " + way.example("[::1]"));
    }
    if (host.isBlank() || host.chars().anyMatch(c -> c <= ' ' || c == '/')) {
      return Parsed.wrong("\"" + host + "\" is no host name, right is " + example);
    }
    String digits = rest.substring(colon + 1);
    int port = digits.matches("[0-9]{1,5}") ? Integer.parseInt(digits) : 0;
    if (port < 1 || port > 65535) {
      return Parsed.wrong("port \"" + digits + "\" is no number from 1 to 65535");
    }
    return Parsed.of(new Network(way, host, port));
  }

  private static String allowed() {
    return "allowed is a path such as /dev/serial/by-id/NAME, tcp:HOST:PORT,"
        + " modbus-tcp:HOST:PORT or rfc2217:HOST:PORT";
  }
}
