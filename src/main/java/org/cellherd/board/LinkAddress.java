package org.cellherd.board;

import java.util.List;
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

  /** Words before a host and port. */
  List<String> HOST_PORT_KINDS = List.of("tcp", "modbus-tcp", "rfc2217");

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

  /** A bridge that passes bytes as they are. */
  record Tcp(String host, int port) implements LinkAddress {
    @Override
    public Link link(TimeSource time) {
      return new TcpLink(host, port, time);
    }

    @Override
    public String text() {
      return "tcp:" + (host.contains(":") ? "[" + host + "]" : host) + ":" + port;
    }
  }

  /** A device that speaks Modbus TCP itself. */
  record ModbusTcp(String host, int port) implements LinkAddress {
    @Override
    public Link link(TimeSource time) {
      return new ModbusTcpLink(host, port, time);
    }

    @Override
    public String text() {
      return "modbus-tcp:" + (host.contains(":") ? "[" + host + "]" : host) + ":" + port;
    }

    @Override
    public boolean carries(Decoder decoder) {
      return decoder.isModbusRtu();
    }
  }

  /** A bridge whose line can be set over Telnet (RFC 2217). */
  record Rfc2217(String host, int port) implements LinkAddress {
    @Override
    public Link link(TimeSource time) {
      return new Rfc2217Link(host, port, time);
    }

    @Override
    public String text() {
      return "rfc2217:" + (host.contains(":") ? "[" + host + "]" : host) + ":" + port;
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
                + " is not described with kind = \"modbus-rtu\"; a bridge that passes bytes is tcp:");
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
    for (String kind : HOST_PORT_KINDS) {
      if (lower.startsWith(kind + ":")) {
        return parseHostPort(kind, text.substring(kind.length() + 1));
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

  private static Parsed parseHostPort(String kind, String rest) {
    String example = kind + ":192.168.1.20:" + (kind.equals("modbus-tcp") ? 502 : 4001);
    int colon = rest.lastIndexOf(':');
    if (colon <= 0 || colon == rest.length() - 1) {
      return Parsed.wrong("host and port are needed, such as \"" + example + "\"");
    }
    String host = rest.substring(0, colon);
    if (host.startsWith("[") && host.endsWith("]")) {
      host = host.substring(1, host.length() - 1);
    } else if (host.indexOf(':') >= 0) {
      return Parsed.wrong("an IPv6 address goes into brackets, such as \"tcp:[::1]:4001\"");
    }
    if (host.isBlank() || host.chars().anyMatch(c -> c <= ' ' || c == '/')) {
      return Parsed.wrong("\"" + host + "\" is no host name, right is such as \"" + example + "\"");
    }
    String digits = rest.substring(colon + 1);
    int port = digits.matches("[0-9]{1,5}") ? Integer.parseInt(digits) : 0;
    if (port < 1 || port > 65535) {
      return Parsed.wrong("port \"" + digits + "\" is no number from 1 to 65535");
    }
    return Parsed.of(
        switch (kind) {
          case "tcp" -> new Tcp(host, port);
          case "modbus-tcp" -> new ModbusTcp(host, port);
          default -> new Rfc2217(host, port);
        });
  }

  private static String allowed() {
    return "allowed is a path such as /dev/serial/by-id/NAME, tcp:HOST:PORT,"
        + " modbus-tcp:HOST:PORT or rfc2217:HOST:PORT";
  }
}
