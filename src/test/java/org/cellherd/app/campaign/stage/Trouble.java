package org.cellherd.app.campaign.stage;

import java.util.Random;

/** What a line does to questions and answers. */
@FunctionalInterface
public interface Trouble {

  /** Nothing at all. */
  byte[] NOTHING = {};

  /** A line as it should be. */
  Trouble NONE = (sent, answer, random) -> answer;

  /** What arrives of an answer. */
  byte[] arrives(byte[] sent, byte[] answer, Random random);

  /** How much later than usual, ns. */
  default long lateNanos(Random random) {
    return 0;
  }

  /** False while the cable is out, by the true time. */
  default boolean isPlugged(long trueMs) {
    return true;
  }

  /** Bytes that nobody sent. */
  default byte[] noise(Random random) {
    return NOTHING;
  }

  /** Answers that come later by a drawn time. */
  record Late(double share, int leastMs, int mostMs) implements Trouble {
    @Override
    public byte[] arrives(byte[] sent, byte[] answer, Random random) {
      return answer;
    }

    @Override
    public long lateNanos(Random random) {
      boolean isLate = random.nextDouble() < share;
      return isLate ? (leastMs + random.nextInt(mostMs - leastMs + 1)) * 1_000_000L : 0;
    }
  }

  /** A cable that is out for part of each period; out all the time where both are equal. */
  record Unplugged(long periodMs, long outMs) implements Trouble {
    @Override
    public byte[] arrives(byte[] sent, byte[] answer, Random random) {
      return answer;
    }

    @Override
    public boolean isPlugged(long trueMs) {
      return Math.floorMod(trueMs, periodMs) >= outMs;
    }
  }

  /** Bytes that come by themselves between the answers. */
  record Noise(int most) implements Trouble {
    @Override
    public byte[] arrives(byte[] sent, byte[] answer, Random random) {
      return answer;
    }

    @Override
    public byte[] noise(Random random) {
      byte[] bytes = new byte[random.nextInt(4) == 0 ? 1 + random.nextInt(most) : 0];
      random.nextBytes(bytes);
      return bytes;
    }
  }
}
