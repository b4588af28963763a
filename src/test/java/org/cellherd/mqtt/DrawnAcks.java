package org.cellherd.mqtt;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;

/** Acknowledgements as people, programs and enemies write them. */
final class DrawnAcks {

  /** Stands in the site. */
  static final String KNOWN = "shed-1";

  private static final List<Integer> LENGTHS = List.of(1, 79, 80, 81, 199, 200, 201, 1_024, 1_025);
  private static final List<String> LETTERS =
      List.of(
          "a", "Z", "7", " ", "\u00fc", "\u4e2d", "\ud83d\udd0b", "\\n", "\\u0007", "\\/", "\\\"");

  private final Random random;

  DrawnAcks(long seed) {
    this.random = new Random(seed);
  }

  byte[] next() {
    byte[] right = object().getBytes(StandardCharsets.UTF_8);
    return switch (random.nextInt(18)) {
      case 0 -> flipped(right);
      case 1 -> Arrays.copyOf(right, random.nextInt(right.length));
      case 2 -> inserted(right, broken());
      case 3 -> inserted(right, noise());
      case 4 -> padded(right, pick(List.of(2_047, 2_048, 2_049, 65_536, 65_537, 200_000)));
      case 5 -> encoded(right);
      default -> right;
    };
  }

  private String object() {
    List<String> members = new ArrayList<>();
    if (random.nextInt(12) > 0) {
      members.add(name("id") + space() + ":" + space() + (often() ? known() : value(1)));
    }
    if (random.nextInt(4) > 0) {
      members.add(name("by") + ":" + (often() ? text() : value(1)));
    }
    for (int more = Math.max(0, random.nextInt(9) - 6); more > 0; more--) {
      members.add(name(pick(List.of("id", "by", "ID", "note", "x", ""))) + ":" + value(1));
    }
    Collections.shuffle(members, random);
    return space() + "{" + String.join(space() + ",", members) + space() + "}" + space();
  }

  private boolean often() {
    return random.nextInt(10) < 8;
  }

  private String known() {
    return random.nextInt(5) == 0 ? "\"shed\\u002d1\"" : "\"" + KNOWN + "\"";
  }

  /** A name may hide itself behind an escape. */
  private String name(String name) {
    boolean isHidden = random.nextInt(8) == 0 && !name.isEmpty();
    return "\""
        + (isHidden ? String.format("\\u%04x", (int) name.charAt(0)) + name.substring(1) : name)
        + "\"";
  }

  private String text() {
    int length = random.nextInt(4) == 0 ? pick(LENGTHS) : random.nextInt(12);
    String same = pick(LETTERS);
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < length; i++) {
      text.append(length > 20 ? same : pick(LETTERS));
    }
    return "\"" + text + "\"";
  }

  private String value(int depth) {
    return switch (random.nextInt(depth > 4 ? 6 : 8)) {
      case 0 -> pick(List.of("null", "true", "false", "nan", "NaN", "-Infinity", "None", "'a'"));
      case 1 -> Integer.toString(random.nextInt());
      case 2 -> pick(List.of("1e999", "-0", "01", "1.", ".5", "+1", "1e5", "0x1", "9".repeat(99)));
      case 3 -> "9".repeat(pick(List.of(100, 101, 400)));
      case 6 -> "[" + value(depth + 1) + (random.nextBoolean() ? "" : "," + value(depth + 1)) + "]";
      case 7 -> "{" + name(pick(List.of("id", "a"))) + ":" + value(depth + 1) + "}";
      default -> text();
    };
  }

  private String space() {
    return switch (random.nextInt(40)) {
      case 0 -> pick(List.of("\u00a0", "\f", "\u000b", "\u2028"));
      case 1, 2, 3, 4, 5 -> pick(List.of(" ", "\t", "\r\n", "  "));
      default -> "";
    };
  }

  private byte[] flipped(byte[] right) {
    byte[] bytes = right.clone();
    bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
    return bytes;
  }

  /** Not UTF-8: a lone byte, an overlong slash, a surrogate, beyond Unicode, an end cut off. */
  private byte[] broken() {
    return pick(
        List.of(
            new byte[] {(byte) 0xff},
            new byte[] {(byte) 0xc0, (byte) 0xaf},
            new byte[] {(byte) 0xed, (byte) 0xa0, (byte) 0x80},
            new byte[] {(byte) 0xf4, (byte) 0x90, (byte) 0x80, (byte) 0x80},
            new byte[] {(byte) 0xe2, (byte) 0x82},
            new byte[] {(byte) 0x80}));
  }

  private byte[] noise() {
    byte[] noise = new byte[1 + random.nextInt(5)];
    random.nextBytes(noise);
    return noise;
  }

  private byte[] inserted(byte[] right, byte[] more) {
    int at = random.nextInt(right.length + 1);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(right, 0, at);
    out.writeBytes(more);
    out.write(right, at, right.length - at);
    return out.toByteArray();
  }

  private byte[] padded(byte[] right, int length) {
    byte[] bytes = Arrays.copyOf(right, Math.max(length, right.length));
    Arrays.fill(bytes, right.length, bytes.length, (byte) ' ');
    return bytes;
  }

  private byte[] encoded(byte[] right) {
    String text = new String(right, StandardCharsets.UTF_8);
    return switch (random.nextInt(4)) {
      case 0 -> ("\ufeff" + text).getBytes(StandardCharsets.UTF_8);
      case 1 -> text.getBytes(StandardCharsets.UTF_16);
      case 2 -> (text + text).getBytes(StandardCharsets.UTF_8);
      default -> text.getBytes(StandardCharsets.ISO_8859_1);
    };
  }

  private <T> T pick(List<T> of) {
    return of.get(random.nextInt(of.size()));
  }
}
