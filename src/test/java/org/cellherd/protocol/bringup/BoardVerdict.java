package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.DoubleStream;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.bringup.EmulatedPack.Instant;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;

/**
 * What the search made of one emulated board, held against the truth. Readings are those of all
 * instants but the few whose damage nothing tells ({@link EmulatedLine#isUntold}).
 *
 * @param framing 95 % of the whole answers were cut out byte for byte
 * @param check the check value is the board's
 * @param cells all cells of 95 % of the readings, within 2 mV or what the board rounds away
 * @param current the current's column and sign; with known values its size, too
 * @param temperatures all sensors of 95 % of the readings, within 0.6 degC
 * @param untrue the check value is called sure, and is not the board's
 * @param decoded share of the whole answers that the draft takes
 */
record BoardVerdict(
    boolean framing,
    boolean check,
    boolean cells,
    boolean current,
    boolean temperatures,
    boolean untrue,
    double decoded) {

  private static final double MOST = 0.95;

  /** A reading and what was true. */
  private record Pair(Instant truth, Reading reading, int toleranceTenthMv) {}

  static BoardVerdict of(
      EmulatedBoard board, EmulatedLine line, Identification found, boolean isKnown) {
    Optional<String> draft = found.draft("drawn");
    List<Pair> pairs = new ArrayList<>();
    double decoded = draft.map(d -> run(board, line, d, pairs)).orElse(0.0);
    boolean isEnough = pairs.size() * 2 > line.wholeInstants();
    boolean isCheckRight =
        board.isCheckedElsewhere()
            ? found.checksum().isEmpty()
            : found.checksum().filter(board::isCheckCalled).isPresent();
    return new BoardVerdict(
        framing(line, found),
        isCheckRight,
        isEnough && share(pairs, BoardVerdict::areCellsRight) >= MOST,
        isEnough && isCurrentRight(pairs, isKnown),
        isEnough && share(pairs, BoardVerdict::areTemperaturesRight) >= MOST,
        found.isSure() && !isCheckRight,
        decoded);
  }

  boolean drafts() {
    return decoded >= MOST;
  }

  private static boolean framing(EmulatedLine line, Identification found) {
    Set<String> cut = new HashSet<>();
    found.messages().forEach(m -> cut.add(HexFormat.of().formatHex(m)));
    long right = line.whole().stream().filter(cut::contains).count();
    return right >= MOST * line.whole().size();
  }

  /** Feeds what came to the draft's decoder; the share of the whole answers that it took. */
  private static double run(
      EmulatedBoard board, EmulatedLine line, String draft, List<Pair> pairs) {
    Problems problems = new Problems();
    Optional<Decoder> decoder = Specs.read("draft.toml", draft, problems);
    if (decoder.isEmpty()) {
      System.out.println("draft does not load: " + problems);
      return 0;
    }
    Dialogue dialogue = decoder.get().dialogue(board.address());
    Offered offered = new Offered();
    long at = 0;
    for (int n = 0; n < line.instants().size(); n++) {
      dialogue.begin();
      at += 2000;
      talk(dialogue, line.answers().get(n), offered);
      Optional<Reading> reading = dialogue.reading(at);
      Instant truth = line.instants().get(n);
      boolean isUntold = line.isUntold(n);
      reading
          .filter(r -> !isUntold)
          .ifPresent(r -> pairs.add(new Pair(truth, r, board.toleranceTenthMv())));
    }
    return (double) dialogue.counts().framesTaken() / Math.max(1, offered.count());
  }

  /**
   * The whole answers that a draft could take: a question of an optional message that was not
   * answered is not asked in each round, but one that is never asked misses all its answers.
   */
  private static final class Offered {
    private final Set<String> asked = new HashSet<>();
    private final Map<String, Integer> given = new HashMap<>();
    private final Map<String, Integer> all = new HashMap<>();

    void came(EmulatedMessage message) {
      count(message, all);
    }

    void given(EmulatedMessage message) {
      asked.add(key(message));
      count(message, given);
    }

    private void count(EmulatedMessage message, Map<String, Integer> counts) {
      if (message.isWhole()) {
        counts.merge(key(message), 1, Integer::sum);
      }
    }

    private static String key(EmulatedMessage message) {
      return HexFormat.of().formatHex(message.request());
    }

    int count() {
      return all.entrySet().stream()
          .mapToInt(
              e -> asked.contains(e.getKey()) ? given.getOrDefault(e.getKey(), 0) : e.getValue())
          .sum();
    }
  }

  /** Lets a board speak by itself, or gives each question of the draft its answer. */
  private static void talk(Dialogue dialogue, List<EmulatedMessage> answers, Offered offered) {
    answers.forEach(offered::came);
    if (dialogue.isListenOnly()) {
      answers.forEach(a -> feed(dialogue, a.answer()));
      return;
    }
    for (var asked = dialogue.nextRequest(); asked.isPresent(); asked = dialogue.nextRequest()) {
      byte[] question = asked.get().bytes();
      answers.stream()
          .filter(a -> Arrays.equals(a.request(), question))
          .forEach(
              a -> {
                offered.given(a);
                feed(dialogue, a.answer());
              });
    }
  }

  private static void feed(Dialogue dialogue, byte[] answer) {
    Dialogue.Progress progress = dialogue.feed(answer, 0, answer.length);
    while (dialogue.isListenOnly() && progress == Dialogue.Progress.ANSWERED) {
      progress = dialogue.feed(answer, 0, 0);
    }
    if (progress == Dialogue.Progress.NEED_MORE) {
      dialogue.silence();
    }
  }

  private static double share(List<Pair> pairs, java.util.function.Predicate<Pair> right) {
    return (double) pairs.stream().filter(right).count() / Math.max(1, pairs.size());
  }

  private static boolean areCellsRight(Pair pair) {
    int[] truth = pair.truth.cellsTenthMv();
    if (pair.reading.cells().count() != truth.length) {
      return false;
    }
    for (int i = 0; i < truth.length; i++) {
      if (Math.abs(pair.reading.cells().mv(i + 1) * 10 - truth[i]) > pair.toleranceTenthMv) {
        return false;
      }
    }
    return true;
  }

  private static boolean areTemperaturesRight(Pair pair) {
    int[] truth = pair.truth.tenthC();
    if (pair.reading.temperatures().count() != truth.length) {
      return false;
    }
    for (int i = 0; i < truth.length; i++) {
      if (Math.abs(pair.reading.temperatures().tenthC(i + 1) - truth[i]) > 6) {
        return false;
      }
    }
    return true;
  }

  /** Most pairs on one rising line, within 100 mA; with known values on that of slope one. */
  private static boolean isCurrentRight(List<Pair> pairs, boolean isKnown) {
    List<Pair> there = pairs.stream().filter(p -> p.reading.currentMa().isPresent()).toList();
    if (there.size() < MOST * pairs.size() || there.isEmpty()) {
      return false;
    }
    double slope = isKnown ? 1 : median(slopes(there));
    double zero = isKnown ? 0 : median(offsets(there, slope));
    return slope > 0
        && share(there, p -> Math.abs((current(p) - zero) / slope - p.truth.currentMa()) <= 100)
            >= MOST;
  }

  /**
   * Of the lines through each two pairs; a few mixed or damaged readings do not move the median.
   */
  private static DoubleStream slopes(List<Pair> pairs) {
    return pairs.stream()
        .flatMapToDouble(
            a ->
                pairs.stream()
                    .filter(b -> b.truth.currentMa() > a.truth.currentMa())
                    .mapToDouble(
                        b ->
                            (current(b) - current(a))
                                / (b.truth.currentMa() - a.truth.currentMa())));
  }

  private static DoubleStream offsets(List<Pair> pairs, double slope) {
    return pairs.stream().mapToDouble(p -> current(p) - slope * p.truth.currentMa());
  }

  private static double median(DoubleStream values) {
    double[] sorted = values.sorted().toArray();
    return sorted.length == 0 ? 0 : sorted[sorted.length / 2];
  }

  private static double current(Pair pair) {
    return pair.reading.currentMa().orElse(0);
  }
}
