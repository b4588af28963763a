package org.cellherd.protocol.spec;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.IntStream;

/**
 * A drawn board whose cells come page by page: its description, and what it says, made by
 * arithmetic of its own.
 */
final class PagedBoard {
  private static final List<String> FORMS = List.of("binary", "hex", "marks", "can");

  /** Who tells how many pages or cells there are. */
  private static final List<String> COUNTS =
      List.of("fixed", "pages by info", "cells by info", "pages by page", "cells by page");

  private final Random random;
  final String form;
  final String count;
  final boolean isAsked;
  final boolean isAskedByPage;
  private final String address;
  private final boolean isCrc;
  private final boolean isOverCharacters;
  final int owner;
  private final boolean isLow;
  private final boolean isFloat;
  private final int first;
  private final int perPage;
  final int[] cells;
  private final int pages;

  PagedBoard(Random random) {
    this.random = random;
    form = any(FORMS);
    count = any(COUNTS);
    isAsked = !form.equals("can") && random.nextBoolean();
    isAskedByPage = isAsked && random.nextBoolean();
    address = any(List.of("in the frame", "covered", "seed"));
    isCrc = random.nextBoolean();
    isOverCharacters = form.equals("marks") && random.nextBoolean();
    owner = 1 + random.nextInt(40);
    isLow = random.nextBoolean();
    isFloat = random.nextInt(3) == 0;
    first = random.nextInt(2);
    perPage = form.equals("can") ? (isFloat ? 1 : 1 + random.nextInt(2)) : 1 + random.nextInt(6);
    cells =
        IntStream.generate(() -> 3000 + random.nextInt(700))
            .limit(1 + random.nextInt(30))
            .toArray();
    pages = (cells.length + perPage - 1) / perPage;
  }

  private String any(List<String> words) {
    return words.get(random.nextInt(words.size()));
  }

  // ---- what it says ----------------------------------------------------------------------------

  /** The data of the message that tells the counts. */
  private byte[] info() {
    return bytes(cells.length, pages);
  }

  private byte[] page(int page) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(first + page);
    if (!form.equals("can") || count.endsWith("by page")) {
      out.write(count.equals("pages by page") ? pages : cells.length);
    }
    for (int i = page * perPage; i < (page + 1) * perPage; i++) {
      int mv = i < cells.length ? cells[i] : count.startsWith("cells") ? random.nextInt(9000) : 0;
      number(out, isFloat ? Float.floatToIntBits(mv / 1000f) : mv, isFloat ? 4 : 2);
    }
    while (form.equals("can") && out.size() < 8) {
      out.write(0x55);
    }
    return out.toByteArray();
  }

  private void number(ByteArrayOutputStream out, int value, int size) {
    for (int i = 0; i < size; i++) {
      out.write(value >>> (8 * (isLow ? i : size - 1 - i)));
    }
  }

  /** What it says of itself, or to a request, in hex; empty when it does not understand. */
  List<byte[]> said() {
    List<byte[]> all = new ArrayList<>();
    all.add(frame(0x11, info()));
    for (int page = 0; page < pages; page++) {
      all.add(frame(0x12, page(page)));
    }
    return all;
  }

  List<byte[]> answers(byte[] request) {
    if (java.util.Arrays.equals(request, frame(0x11, bytes()))) {
      return List.of(frame(0x11, info()));
    }
    List<byte[]> all = new ArrayList<>();
    for (int page = 0; page < pages; page++) {
      byte[] asked = frame(0x12, isAskedByPage ? bytes(0x33, first + page) : bytes());
      if (java.util.Arrays.equals(request, asked)) {
        all.add(frame(0x12, page(page)));
      }
    }
    return all;
  }

  private byte[] frame(int code, byte[] data) {
    boolean isHere = address.equals("in the frame");
    byte[] head = isHere ? bytes(owner, code) : bytes(code);
    return switch (form) {
      case "can" -> "t%03X%d%s\r".formatted(code, data.length, hex(data)).getBytes(ascii());
      case "marks" -> {
        byte[] inside = escaped(join(head, data));
        byte[] covered = isOverCharacters ? inside : join(head, data);
        yield join(
            bytes(0x10, 0x02), inside, bytes(0x10, 0x03), check(join(covered, bytes(0x10, 0x03))));
      }
      case "hex" -> {
        byte[] body = join(head, bytes(data.length), data);
        yield (":" + hex(join(body, check(body))) + "\r").getBytes(ascii());
      }
      default -> {
        byte[] body = join(head, bytes(data.length), data);
        yield join(bytes(0xA7), body, check(body));
      }
    };
  }

  private static java.nio.charset.Charset ascii() {
    return java.nio.charset.StandardCharsets.US_ASCII;
  }

  private static byte[] escaped(byte[] plain) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte b : plain) {
      out.write(b);
      if (b == 0x10) {
        out.write(b);
      }
    }
    return out.toByteArray();
  }

  /** Bit by bit: sum8, or CRC-16 of polynomial 8005 reflected. */
  private byte[] check(byte[] covered) {
    boolean isSeed = address.equals("seed");
    byte[] all = address.equals("covered") ? join(bytes(owner), covered) : covered;
    int value = isSeed ? (isCrc ? reversed(owner) : owner) : isCrc ? 0xFFFF : 0;
    for (byte b : all) {
      value = isCrc ? value ^ (b & 0xFF) : value + (b & 0xFF);
      for (int bit = 0; isCrc && bit < 8; bit++) {
        value = (value & 1) == 1 ? value >>> 1 ^ 0xA001 : value >>> 1;
      }
    }
    return isCrc ? bytes(value, value >>> 8) : bytes(value);
  }

  private static int reversed(int word) {
    return Integer.reverse(word) >>> 16;
  }

  static byte[] bytes(int... values) {
    byte[] all = new byte[values.length];
    for (int i = 0; i < values.length; i++) {
      all[i] = (byte) values[i];
    }
    return all;
  }

  static byte[] join(byte[]... parts) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte[] part : parts) {
      out.writeBytes(part);
    }
    return out.toByteArray();
  }

  private static String hex(byte[] bytes) {
    return HexFormat.of().withUpperCase().formatHex(bytes);
  }

  // ---- its description -------------------------------------------------------------------------

  String toml() {
    return "spec = 1\nid = \"paged\"\ntitle = \"Paged\"\ntalk = \""
        + (isAsked ? "poll" : "listen")
        + "\"\norder = \""
        + (isLow ? "little" : "big")
        + "\"\n[frame]\n"
        + (form.equals("can") ? "kind = \"slcan\"\n" : framing())
        + message("info", 0x11, "", info().length, infoFields())
        + message("cells", 0x12, pagesTable(), 8, pageFields());
  }

  private String framing() {
    String head = address.equals("in the frame") ? "\"address\", \"code\"" : "\"code\"";
    List<String> covered = new ArrayList<>(List.of("code"));
    if (!address.equals("seed")) {
      covered.add("address");
    }
    covered.addAll(form.equals("marks") ? List.of("data", "end") : List.of("length", "data"));
    String covers = covered.stream().map(c -> '"' + c + '"').collect(Collectors.joining(", "));
    String check =
        "[frame.checksum]\nkind = \""
            + (isCrc ? "crc-16/modbus" : "sum8")
            + "\"\norder = \"little\"\ncovers = ["
            + covers
            + "]\n"
            + (address.equals("seed") ? "seed = \"address\"\n" : "")
            + (isOverCharacters ? "over = \"characters\"\n" : "");
    return switch (form) {
      case "marks" ->
          "layout = [\"start\", %s, \"data\", \"end\", \"checksum\"]\nstart = \"10 02\"\nend = \"10 03\"\n[frame.escape]\nbyte = \"10\"\nof = \"10\"\nwritten_as = \"10\"\n"
                  .formatted(head)
              + check;
      case "hex" ->
          "layout = [\"start\", %s, \"length\", \"data\", \"checksum\", \"end\"]\nstart = \"3A\"\nend = \"0D\"\nencoding = \"hex\"\n[frame.length]\n"
                  .formatted(head)
              + check;
      default ->
          "layout = [\"start\", %s, \"length\", \"data\", \"checksum\"]\nstart = \"A7\"\n[frame.length]\n"
                  .formatted(head)
              + check;
    };
  }

  private String message(String name, int code, String pagesTable, int bytes, String fields) {
    String id =
        form.equals("can")
            ? "can_id = %d\nbytes = %d\n".formatted(code, bytes)
            : "code = " + code + "\n";
    String request = isAskedByPage && name.equals("cells") ? "request = \"33 {page}\"\n" : "";
    return "[[message]]\nname = \""
        + name
        + "\"\n"
        + id
        + request
        + "field = [\n"
        + fields
        + "]\n"
        + pagesTable;
  }

  private static String infoFields() {
    return "{ name = \"n\", type = \"u8\" },\n{ name = \"pages\", type = \"u8\" },\n";
  }

  private String pagesTable() {
    String many =
        switch (count) {
          case "pages by info" -> "count = \"info.pages\"\nmost = 40\n";
          case "pages by page" -> "count = \"told\"\nmost = 40\n";
          default -> "count = " + pages + "\n";
        };
    return "[message.pages]\nfield = \"page\"\nfirst = " + first + "\n" + many;
  }

  private String pageFields() {
    String upTo =
        switch (count) {
          case "cells by info" -> ", up_to = \"info.n\"";
          case "cells by page" -> ", up_to = \"told\"";
          default -> ", missing = [0]";
        };
    boolean hasTold = !form.equals("can") || count.endsWith("by page");
    return "{ name = \"page\", type = \"u8\", show = false },\n"
        + (hasTold ? "{ name = \"told\", type = \"u8\", show = false },\n" : "")
        + String.format(
            Locale.ROOT,
            "{ as = \"cell\", type = \"%s\", repeat = %d, unit = \"%s\"%s },\n",
            isFloat ? "f32" : "u16",
            perPage,
            isFloat ? "V" : "mV",
            upTo);
  }

  @Override
  public String toString() {
    return String.join(
        ", ",
        form,
        count,
        "address " + address,
        isCrc ? "crc" : "sum",
        isAsked ? isAskedByPage ? "asked by page" : "asked" : "talks",
        cells.length + " cells, " + perPage + " a page of " + (isFloat ? "f32" : "u16"));
  }
}
