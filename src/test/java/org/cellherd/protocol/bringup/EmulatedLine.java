package org.cellherd.protocol.bringup;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import java.util.regex.Pattern;
import org.cellherd.protocol.bringup.EmulatedBoard.Talk;
import org.cellherd.protocol.bringup.EmulatedPack.Instant;

/** What a capture of an emulated board holds, and what was true: some messages broken by noise. */
final class EmulatedLine {

  private final Random random;
  private final EmulatedBoard board;
  private final double broken;
  private final List<HeardBytes> heard = new ArrayList<>();
  private final List<Instant> instants;
  private final List<List<EmulatedMessage>> answers = new ArrayList<>();
  private final Set<String> whole = new HashSet<>();
  private int wholeInstants;
  private static final long START = 1_700_000_000_000L;
  private final List<Long> starts = new ArrayList<>();

  /** An slcan line of eleven-bit identifier, data and nothing else. */
  private static final Pattern FRAME = Pattern.compile("t[0-9A-Fa-f]{3}[0-8](?:[0-9A-Fa-f]{2})*\r");

  private final List<Boolean> untold = new ArrayList<>();
  private long at = START;

  /** Some instants, with a share of the messages broken. */
  EmulatedLine(EmulatedBoard board, Random random, int count, double broken) {
    this.random = random;
    this.board = board;
    this.broken = broken;
    instants = board.pack().instants(count, 2);
    instants.forEach(this::tell);
  }

  private void tell(Instant instant) {
    starts.add(at);
    List<EmulatedMessage> passed = new ArrayList<>();
    boolean isWhole = true;
    boolean isUntold = false;
    for (EmulatedMessage message : board.messages(instant)) {
      if (board.talk() != Talk.BY_ITSELF) {
        heard.add(new HeardBytes(at, board.talk() == Talk.ASKED, message.request()));
        at += 15 + random.nextInt(10);
      }
      byte[] came = noisy(message.answer());
      passed.add(message.broken(came));
      isWhole &= came == message.answer();
      isUntold |= came != message.answer() && board.isCheckedElsewhere() && isFrame(came);
      if (came == message.answer()) {
        whole.add(HexFormat.of().formatHex(message.core()));
      }
      if (came.length > 0) {
        pieces(came);
      }
      at += 60 + random.nextInt(30);
      idle();
    }
    answers.add(passed);
    untold.add(isUntold);
    wholeInstants += isWhole ? 1 : 0;
    at += 1500;
  }

  /** Between messages a line that nobody drives may show a byte or two. */
  private void idle() {
    if (random.nextDouble() < broken / 4) {
      byte[] idle = new byte[1 + random.nextInt(2)];
      random.nextBytes(idle);
      heard.add(new HeardBytes(at - 20, false, idle));
    }
  }

  private void pieces(byte[] message) {
    int half = random.nextInt(message.length);
    for (byte[] piece :
        List.of(Arrays.copyOf(message, half), Arrays.copyOfRange(message, half, message.length))) {
      if (piece.length > 0) {
        heard.add(new HeardBytes(at, false, piece));
        at += 3;
      }
    }
  }

  private byte[] noisy(byte[] message) {
    if (random.nextDouble() >= broken) {
      return message;
    }
    if (random.nextInt(8) == 0) {
      return new byte[0];
    }
    byte[] changed = message.clone();
    int place = random.nextInt(message.length);
    changed[place] ^= (byte) (1 + random.nextInt(255));
    byte[] shorter = Arrays.copyOf(changed, message.length - 1);
    System.arraycopy(message, place + 1, shorter, place, message.length - place - 1);
    return random.nextBoolean() ? changed : shorter;
  }

  List<HeardBytes> heard() {
    return List.copyOf(heard);
  }

  List<Instant> instants() {
    return instants;
  }

  /**
   * Two values as a meter shows them at the greatest current: the current, and the first cell where
   * no cells were found without it, else the first temperature.
   */
  List<Known> meter(boolean hasCells) {
    int best = 0;
    for (int n = 0; n < instants.size(); n++) {
      int size = Math.abs(instants.get(n).currentMa());
      best = size > Math.abs(instants.get(best).currentMa()) ? n : best;
    }
    Instant then = instants.get(best);
    double seconds = (starts.get(best) - START) / 1000.0;
    String other =
        hasCells
            ? String.format(Locale.ROOT, "temperature 1 = %.1f C", then.tenthC()[0] / 10.0)
            : String.format(Locale.ROOT, "cell 1 = %.3f V", then.cellsTenthMv()[0] / 10_000.0);
    return Known.parse(
        String.format(
            Locale.ROOT,
            "current = %.2f A at %.1f s, %s at %.1f s",
            then.currentMa() / 1000.0,
            seconds,
            other,
            seconds));
  }

  /** What came for each instant. */
  List<List<EmulatedMessage>> answers() {
    return answers;
  }

  /** Answers that passed unchanged, in hex; equal ones once. */
  Set<String> whole() {
    return whole;
  }

  /** Instants of which every answer passed unchanged. */
  int wholeInstants() {
    return wholeInstants;
  }

  private static boolean isFrame(byte[] came) {
    return FRAME.matcher(new String(came, StandardCharsets.ISO_8859_1)).matches();
  }

  /**
   * True for an instant in which a frame without a check value was broken into another frame:
   * nothing that was heard tells the damage.
   */
  boolean isUntold(int instant) {
    return untold.get(instant);
  }
}
