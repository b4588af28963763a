package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * A cut and its check value held against all bytes of a capture, not only those it was found in.
 * One thread, used once.
 */
final class Whole {

  /**
   * What came of it.
   *
   * @param passed messages that pass the check value
   * @param failed pieces of the same lengths that do not
   * @param others pieces of other lengths
   * @param outside bytes in no message that passes
   * @param isNoise true when line noise explains those that failed
   */
  record Tally(long passed, long failed, long others, long outside, boolean isNoise) {
    /** Share of the messages that passes, in percent, rounded down. */
    int percent() {
      return passed + failed == 0 ? 0 : (int) (100 * passed / (passed + failed));
    }
  }

  /** Messages kept for the search of columns, in rows of neighbours. */
  private static final int MOST_KEPT = 20_000;

  private static final int ROW = 500;

  /** A line that breaks more than every fourth message is none to be sure on. */
  private static final int LEAST_PERCENT = 75;

  /** Pieces that a header within the data may have cut a message into. */
  private static final int MOST_JOINED = 4;

  private final Bursts bursts;
  private final Cut cut;
  private final ChecksumFit fit;
  private final Set<Integer> lengths = new HashSet<>();
  private final List<Sample> kept = new ArrayList<>();
  private final Map<Sample, Integer> failures = new HashMap<>();
  private long passed;
  private long failed;
  private long others;
  private long inside;

  Whole(Bursts bursts, Cut cut, ChecksumFit fit) {
    this.bursts = bursts;
    this.cut = cut;
    this.fit = fit;
    cut.samples().stream()
        .filter(s -> ChecksumSearch.fits(fit, s))
        .forEach(s -> lengths.add(s.length()));
    int stride = 1 + bursts.size() / MOST_KEPT;
    for (int i = 0; i < bursts.size(); i++) {
      look(bursts.get(i), i / ROW % stride == 0);
    }
  }

  private void look(Burst burst, boolean isKept) {
    List<Sample> pieces = cut.rule().pieces(burst);
    for (int i = 0; i < pieces.size(); i++) {
      int used = accept(pieces, i, isKept);
      i += Math.max(0, used - 1);
    }
  }

  /** How many pieces from one on make a message; 0 when none. */
  private int accept(List<Sample> pieces, int from, boolean isKept) {
    boolean isBinary = !cut.isHex() && cut.escape().isEmpty();
    Sample joined = pieces.get(from);
    for (int n = 1; n <= MOST_JOINED && from + n <= pieces.size(); n++) {
      joined = n == 1 ? joined : joined.joined(pieces.get(from + n - 1));
      Sample message = isBinary && !isWhole(joined) ? cutToLength(joined) : joined;
      if (isWhole(message)) {
        pass(message, isKept);
        return n;
      }
      if (!isBinary) {
        break;
      }
    }
    fail(pieces.get(from));
    return 0;
  }

  private boolean isWhole(Sample piece) {
    return lengths.contains(piece.length()) && ChecksumSearch.fits(fit, piece);
  }

  /** Without what follows a message of a usual length: noise, or one that broke off. */
  private Sample cutToLength(Sample piece) {
    for (int length : lengths) {
      if (length < piece.length()) {
        Sample front = piece.front(length);
        if (ChecksumSearch.fits(fit, front) && fit.checksum().bytes() > 1) {
          return front;
        }
      }
    }
    return piece;
  }

  private void pass(Sample message, boolean isKept) {
    passed++;
    inside += message.wire().length;
    if (isKept) {
      kept.add(message);
    }
  }

  private void fail(Sample piece) {
    if (lengths.contains(piece.length())) {
      failed++;
      if (failures.size() < MOST_KEPT) {
        failures.merge(piece, 1, Integer::sum);
      }
    } else {
      others++;
    }
  }

  /** Messages that pass, in the order of the capture; of a long one rows from all over it. */
  List<Sample> kept() {
    return List.copyOf(kept);
  }

  /** Noise does not break two messages into the same bytes. */
  Tally tally() {
    boolean isRepeated = failures.values().stream().anyMatch(n -> n > 1);
    long all = passed + failed;
    boolean isFew = all > 0 && 100 * passed >= LEAST_PERCENT * all;
    return new Tally(
        passed, failed, others, bursts.bytes() - inside, failed == 0 || (isFew && !isRepeated));
  }
}
