package org.cellherd.sim;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.sim.Fault.Kind.Place;

/** What the line does to bytes, by its faults and the time. Belongs to one thread. */
final class LineFaults {

  private static final int MOST_NOISE = 12;

  private final List<Fault> faults;
  private final Chance chance;
  private long occasion;

  public LineFaults(List<Fault> faults, Chance chance) {
    this.faults = faults.stream().filter(f -> f.kind().place() == Place.LINE).toList();
    this.chance = chance.of("line");
  }

  /** True while the cable is in. */
  public boolean isPlugged(long timeMs) {
    return !has(Fault.Kind.UNPLUGGED, timeMs);
  }

  /** True while boards can answer. */
  public boolean isHeard(long timeMs) {
    return isPlugged(timeMs) && !has(Fault.Kind.SILENT, timeMs);
  }

  private boolean has(Fault.Kind kind, long timeMs) {
    return faults.stream().anyMatch(f -> f.kind() == kind && f.covers(timeMs));
  }

  /** What the listener gets for bytes that it sent and bytes that a board answered. */
  public Delivery deliver(byte[] sent, byte[] answered, long timeMs) {
    SplittableRandom random = chance.at(occasion++);
    byte[] bytes = answered;
    long lateMs = 0;
    for (Fault fault : faults) {
      if (fault.covers(timeMs) && happens(fault, random)) {
        bytes = spoil(fault.kind(), bytes, random);
        lateMs += fault.kind() == Fault.Kind.LATE ? Math.round(fault.amounts().get(1)) : 0;
      }
    }
    boolean echo = sent.length > 0 && has(Fault.Kind.ECHO, timeMs);
    return new Delivery(echo ? join(sent, bytes) : bytes, lateMs);
  }

  private static boolean happens(Fault fault, SplittableRandom random) {
    return random.nextDouble() * 100 < fault.amount();
  }

  private static byte[] spoil(Fault.Kind kind, byte[] bytes, SplittableRandom random) {
    if (kind == Fault.Kind.NOISE) {
      return join(noise(random), bytes);
    }
    if (bytes.length == 0) {
      return bytes;
    }
    return switch (kind) {
      case DROPPED -> new byte[0];
      case TRUNCATED -> Arrays.copyOf(bytes, random.nextInt(bytes.length));
      case CORRUPTED -> flip(bytes, random);
      default -> bytes;
    };
  }

  private static byte[] flip(byte[] bytes, SplittableRandom random) {
    byte[] wrong = bytes.clone();
    wrong[random.nextInt(wrong.length)] ^= (byte) (1 << random.nextInt(8));
    return wrong;
  }

  private static byte[] noise(SplittableRandom random) {
    byte[] bytes = new byte[1 + random.nextInt(MOST_NOISE)];
    random.nextBytes(bytes);
    return bytes;
  }

  private static byte[] join(byte[] first, byte[] second) {
    byte[] both = Arrays.copyOf(first, first.length + second.length);
    System.arraycopy(second, 0, both, first.length, second.length);
    return both;
  }

  /** Bytes that arrive, and how much later than usual. */
  @SuppressWarnings("ArrayRecordComponent")
  public record Delivery(byte[] bytes, long lateMs) {}
}
