package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;

/**
 * The parts of the messages of one cut.
 *
 * @param cut how they were cut out
 * @param isAsked true when the capture holds requests
 * @param samples the messages that pass the check value; all when there is none
 * @param checksum the best check value
 * @param rivals other check values that fit about as well
 * @param length the length number
 * @param code place of the byte that tells the kinds apart
 * @param dataAt where the data begins
 * @param kinds the kinds of message
 */
record Structure(
    Cut cut,
    boolean isAsked,
    List<Sample> samples,
    Optional<ChecksumFit> checksum,
    List<ChecksumFit> rivals,
    Optional<LengthFit> length,
    OptionalInt code,
    int dataAt,
    List<Kind> kinds) {

  /** Fits within so many bits of the best are rivals. */
  private static final int RIVAL_BITS = 16;

  private static final int LAST_CODE_PLACE = 7;
  private static final int MOST_KINDS = 16;

  /** More equal bytes than this at the beginning are rather data that did not change. */
  private static final int LONGEST_START = 3;

  /**
   * Messages of one kind.
   *
   * @param code the byte that tells it, where there is one
   * @param request the request as hex, or empty
   * @param samples the messages
   */
  record Kind(OptionalInt code, String request, List<Sample> samples) {
    int shortest() {
      return samples.stream().mapToInt(Sample::length).min().orElse(0);
    }

    boolean isOfOneLength() {
      return samples.stream().mapToInt(Sample::length).distinct().count() == 1;
    }
  }

  static Structure of(Cut cut, List<ChecksumFit> fits, boolean isAsked) {
    Optional<ChecksumFit> best = fits.stream().findFirst();
    List<Sample> samples = best.map(f -> passing(f, cut)).orElse(cut.samples());
    int trailer = best.map(ChecksumFit::trailer).orElse(0);
    List<ChecksumFit> rivals =
        fits.stream().skip(1).filter(f -> f.bits() + RIVAL_BITS >= best.get().bits()).toList();
    Optional<LengthFit> length =
        new LengthSearch(samples, cut.isHex(), trailer).fits().stream().findFirst();
    Optional<LengthFit> proven = length.filter(LengthFit::isProven);
    OptionalInt code = code(samples, proven);
    int inFront = best.filter(f -> f.form().isInFront()).map(f -> f.place(0) + f.width()).orElse(0);
    int dataAt = dataAt(samples, proven, Math.max(inFront, code.orElse(-1) + 1), trailer);
    return new Structure(
        cut,
        isAsked,
        samples,
        best,
        rivals,
        length,
        code,
        dataAt,
        kinds(samples, code, proven.isPresent()));
  }

  private static List<Sample> passing(ChecksumFit fit, Cut cut) {
    return cut.samples().stream()
        .filter(s -> ChecksumSearch.fits(fit.checksum(), fit.form(), s))
        .toList();
  }

  /** Bytes behind the data: check value and end mark. */
  int trailer() {
    return checksum.map(ChecksumFit::trailer).orElse(0);
  }

  /** Bytes at the beginning that never differ. */
  static int constantPrefix(List<Sample> samples) {
    int n = 0;
    while (isConstant(samples, n)) {
      n++;
    }
    return n;
  }

  static boolean isConstant(List<Sample> samples, int at) {
    int first = samples.isEmpty() || samples.get(0).length() <= at ? -1 : samples.get(0).at(at);
    return first >= 0 && samples.stream().allMatch(s -> s.length() > at && s.at(at) == first);
  }

  /** The first byte that differs, if it tells length or request of the message. */
  private static OptionalInt code(List<Sample> samples, Optional<LengthFit> length) {
    for (int at = 0; at <= LAST_CODE_PLACE; at++) {
      int place = at;
      boolean isLength =
          length.filter(l -> place >= l.at() && place < l.at() + l.bytes()).isPresent();
      if (!isLength && !isConstant(samples, at)) {
        return tellsKind(samples, at) ? OptionalInt.of(at) : OptionalInt.empty();
      }
    }
    return OptionalInt.empty();
  }

  private static boolean tellsKind(List<Sample> samples, int at) {
    if (samples.stream().anyMatch(s -> s.length() <= at)) {
      return false;
    }
    Map<Integer, Set<String>> shapes = new TreeMap<>();
    Map<Integer, Integer> counts = new TreeMap<>();
    for (Sample sample : samples) {
      String shape = sample.length() + "/" + HexFormat.of().formatHex(sample.request());
      shapes.computeIfAbsent(sample.at(at), k -> new HashSet<>()).add(shape);
      counts.merge(sample.at(at), 1, Integer::sum);
    }
    Set<String> all = new HashSet<>();
    shapes.values().forEach(all::addAll);
    return shapes.size() <= MOST_KINDS
        && !isCount(samples, at)
        && shapes.values().stream().allMatch(s -> s.size() == 1)
        && counts.values().stream().allMatch(c -> c >= 2)
        && all.size() == shapes.size();
  }

  /** A number with which the length grows evenly counts something: cells, mostly. */
  private static boolean isCount(List<Sample> samples, int at) {
    Sample one = samples.get(0);
    Set<Integer> growth = new HashSet<>();
    for (Sample sample : samples) {
      int more = sample.at(at) - one.at(at);
      int longer = sample.length() - one.length();
      if (more != 0) {
        growth.add(longer % more == 0 ? longer / more : 0);
      }
    }
    return growth.size() == 1 && growth.stream().allMatch(g -> g >= 1 && g <= 4);
  }

  private static int dataAt(
      List<Sample> samples, Optional<LengthFit> length, int known, int trailer) {
    int shortest = samples.stream().mapToInt(Sample::length).min().orElse(0);
    int behind = length.map(l -> l.at() + l.bytes()).orElse(0);
    behind = Math.max(behind, known);
    if (behind == 0) {
      int cells = ColumnGuesses.firstCellAt(samples, shortest - trailer);
      behind = Math.min(cells, Math.min(LONGEST_START, constantPrefix(samples)));
    }
    return Math.max(0, Math.min(behind, shortest - trailer - 1));
  }

  private static List<Kind> kinds(List<Sample> samples, OptionalInt code, boolean isLengthTold) {
    Map<String, List<Sample>> groups =
        samples.stream()
            .collect(
                Collectors.groupingBy(
                    s -> keyOf(s, code, isLengthTold),
                    TreeMap::new,
                    Collectors.toCollection(ArrayList::new)));
    List<Kind> kinds = new ArrayList<>();
    for (List<Sample> group : groups.values()) {
      Sample first = group.get(0);
      OptionalInt value =
          code.isPresent() ? OptionalInt.of(first.at(code.getAsInt())) : OptionalInt.empty();
      kinds.add(new Kind(value, HexFormat.of().formatHex(first.request()), group));
    }
    return kinds.size() <= MOST_KINDS ? kinds : kinds.subList(0, MOST_KINDS);
  }

  private static String keyOf(Sample sample, OptionalInt code, boolean isLengthTold) {
    String asked = HexFormat.of().formatHex(sample.request());
    if (code.isPresent()) {
      return HexFormat.of().toHexDigits((byte) sample.at(code.getAsInt())) + asked;
    }
    boolean isByLength = asked.isEmpty() && !isLengthTold;
    return isByLength ? "length " + (1_000_000 + sample.length()) : asked;
  }
}
