package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.IntFunction;

/** A line to an invented board, with mishaps by a seed: what a capture of it holds. */
final class InventedLine {
  private final Random random;
  private final double mishap;
  private final List<HeardBytes> heard = new ArrayList<>();
  private long at = 1_000_000;

  /** Every so many messages (0.2: each fifth) a byte is lost, added or changed. */
  InventedLine(long seed, double mishap) {
    this.random = new Random(seed);
    this.mishap = mishap;
  }

  /** 16 cells of a pack that charges slowly, mV. */
  static int[] cells(int n, int count) {
    int[] cells = new int[count];
    for (int i = 0; i < count; i++) {
      cells[i] = 3290 + 3 * i + (n * (5 + i)) % 37;
    }
    return cells;
  }

  static byte[] bytes(Object... parts) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (Object part : parts) {
      if (part instanceof Integer number) {
        out.write(number);
      } else if (part instanceof byte[] array) {
        out.writeBytes(array);
      }
    }
    return out.toByteArray();
  }

  static byte[] words(int... values) {
    byte[] bytes = new byte[2 * values.length];
    for (int i = 0; i < values.length; i++) {
      bytes[2 * i] = (byte) (values[i] >> 8);
      bytes[2 * i + 1] = (byte) values[i];
    }
    return bytes;
  }

  static byte[] swapped(byte[] words) {
    byte[] swapped = new byte[words.length];
    for (int i = 0; i < words.length; i++) {
      swapped[i] = words[i ^ 1];
    }
    return swapped;
  }

  /** Asks and is answered. */
  InventedLine asked(byte[] request, byte[] answer) {
    heard.add(new HeardBytes(at, true, request));
    at += 20;
    return said(answer);
  }

  /** Says something, in two pieces and then a pause. */
  InventedLine said(byte[] message) {
    byte[] passed = passed(message);
    int half = random.nextInt(passed.length);
    add(Arrays.copyOf(passed, half));
    at += 4;
    add(Arrays.copyOfRange(passed, half, passed.length));
    at += 900 + random.nextInt(200);
    return this;
  }

  private void add(byte[] piece) {
    if (piece.length > 0) {
      heard.add(new HeardBytes(at, false, piece));
    }
  }

  /** Says the same kind of thing many times. */
  InventedLine said(int times, IntFunction<byte[]> message) {
    for (int n = 0; n < times; n++) {
      said(message.apply(n));
    }
    return this;
  }

  private byte[] passed(byte[] message) {
    if (random.nextDouble() >= mishap) {
      return message;
    }
    int place = 1 + random.nextInt(message.length - 1);
    byte[] before = Arrays.copyOf(message, place);
    byte[] behind = Arrays.copyOfRange(message, place, message.length);
    return switch (random.nextInt(3)) {
      case 0 -> bytes(before, Arrays.copyOfRange(behind, 1, behind.length));
      case 1 -> bytes(noise(), message);
      default -> bytes(before, new byte[] {(byte) (behind[0] ^ 0x55)}, tail(behind));
    };
  }

  private static byte[] tail(byte[] bytes) {
    return Arrays.copyOfRange(bytes, 1, bytes.length);
  }

  private byte[] noise() {
    byte[] noise = new byte[1 + random.nextInt(3)];
    random.nextBytes(noise);
    return noise;
  }

  List<HeardBytes> heard() {
    return List.copyOf(heard);
  }

  /** All as one piece without any pause. */
  List<HeardBytes> glued() {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    heard.forEach(h -> out.writeBytes(h.bytes()));
    return List.of(new HeardBytes(0, false, out.toByteArray()));
  }
}
