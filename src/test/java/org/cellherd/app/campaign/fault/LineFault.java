package org.cellherd.app.campaign.fault;

import java.util.Arrays;
import java.util.Random;
import org.cellherd.app.campaign.stage.RoughWire;
import org.cellherd.app.campaign.stage.Trouble;

/** What a line and its board do to questions and answers. */
public enum LineFault implements CampaignFault {
  UNPLUGGED(r -> new Trouble.Unplugged(1, 1)),
  FLAPPING(r -> new Trouble.Unplugged(800 + r.nextInt(4000), 300 + r.nextInt(500))),
  MUTE(r -> (sent, answer, random) -> Trouble.NOTHING),
  SOME_DROPPED(r -> drop(0.1 + 0.5 * r.nextDouble())),
  ONE_BIT_WRONG(r -> LineFault::flip),
  WRONG_BAUD(r -> (sent, answer, random) -> noise(answer.length, random)),
  HUMMING(r -> new Trouble.Noise(1 + r.nextInt(40))),
  SLOW_BOARD(r -> new Trouble.Late(1, 150, 200 + r.nextInt(400))),
  SOME_LATE(r -> new Trouble.Late(0.15, 600, 2500)),
  VERY_LATE(r -> new Trouble.Late(1, 2000, 4000)),
  TRUNCATED(r -> (sent, answer, random) -> Arrays.copyOf(answer, random.nextInt(answer.length))),
  DOUBLED(r -> (sent, answer, random) -> joined(answer, answer)),
  ECHOED(r -> (sent, answer, random) -> joined(sent, answer)),
  GARBAGE_BEFORE(
      r -> (sent, answer, random) -> joined(noise(1 + random.nextInt(9), random), answer)),
  BYTES_LOST(r -> LineFault::lose),
  ANSWERS_BEHIND(r -> new Behind()),
  OTHER_BOARD(r -> Trouble.NONE) {
    @Override
    public Strike strike() {
      return (world, random) -> {
        RoughWire wire = world.anyWire(random);
        wire.swap(true);
        return () -> wire.swap(false);
      };
    }
  };

  private interface Draw {
    Trouble trouble(Random random);
  }

  private final Draw draw;

  LineFault(Draw draw) {
    this.draw = draw;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.LINE;
  }

  @Override
  public boolean isRealOnly() {
    return false;
  }

  @Override
  public Strike strike() {
    return (world, random) -> {
      RoughWire wire = world.anyWire(random);
      wire.become(draw.trouble(random));
      return () -> wire.become(Trouble.NONE);
    };
  }

  private static Trouble drop(double share) {
    return (sent, answer, random) -> random.nextDouble() < share ? Trouble.NOTHING : answer;
  }

  private static byte[] flip(byte[] sent, byte[] answer, Random random) {
    byte[] wrong = answer.clone();
    wrong[random.nextInt(wrong.length)] ^= (byte) (1 << random.nextInt(8));
    return wrong;
  }

  private static byte[] lose(byte[] sent, byte[] answer, Random random) {
    int at = random.nextInt(answer.length);
    byte[] left = new byte[answer.length - 1];
    System.arraycopy(answer, 0, left, 0, at);
    System.arraycopy(answer, at + 1, left, at, left.length - at);
    return left;
  }

  private static byte[] noise(int length, Random random) {
    byte[] bytes = new byte[length];
    random.nextBytes(bytes);
    return bytes;
  }

  private static byte[] joined(byte[] first, byte[] second) {
    byte[] both = Arrays.copyOf(first, first.length + second.length);
    System.arraycopy(second, 0, both, first.length, second.length);
    return both;
  }

  /** Each question gets the answer of the one before. */
  private static final class Behind implements Trouble {
    private byte[] before = NOTHING;

    @Override
    public byte[] arrives(byte[] sent, byte[] answer, Random random) {
      byte[] now = before;
      before = answer;
      return now;
    }
  }
}
