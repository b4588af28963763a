package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.function.ToIntFunction;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.cellherd.protocol.bringup.Identification.Certainty;
import org.cellherd.protocol.bringup.Whole.Tally;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Sum;

/**
 * The parts of the messages of one cut.
 *
 * @param cut how they were cut out
 * @param isAsked true when the capture holds requests
 * @param tally the check value held against the whole capture; empty without one
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
    Optional<Tally> tally,
    List<Sample> samples,
    Optional<ChecksumFit> checksum,
    List<ChecksumFit> rivals,
    Optional<LengthFit> length,
    OptionalInt code,
    int dataAt,
    List<Kind> kinds) {

  /** Fits within so many bits of the best are rivals. */
  private static final int RIVAL_BITS = 16;

  private static final int MOST_PAGES = 64;

  /** What comes at each third round only breaks more; three by chance turn a third of the times. */
  private static final int OFTEN = 65;

  /** More equal bytes than this at the beginning are rather data that did not change. */
  private static final int LONGEST_START = 3;

  /**
   * Messages of one kind.
   *
   * @param code the byte that tells it, where there is one
   * @param page where a byte of the data tells the page, and the page
   * @param request the request as hex, or empty
   * @param samples the messages
   * @param guesses what its columns may be
   */
  record Kind(
      OptionalInt code,
      Optional<Page> page,
      String request,
      List<Sample> samples,
      List<ColumnGuess> guesses) {
    Kind(OptionalInt code, String request, List<Sample> samples) {
      this(code, Optional.empty(), request, samples, List.of());
    }

    /** A place in the message, from 0, and what stands there. */
    record Page(int at, int number) {}

    private Kind of(Page newPage, List<Sample> own) {
      return new Kind(code, Optional.of(newPage), request, own, guesses);
    }

    int shortest() {
      return samples.stream().mapToInt(Sample::length).min().orElse(0);
    }

    boolean isOfOneLength() {
      return samples.stream().mapToInt(Sample::length).distinct().count() == 1;
    }
  }

  static Structure of(Bursts bursts, Cut cut, List<ChecksumFit> fits, Meter meter) {
    boolean isAsked = bursts.isAsked();
    Optional<ChecksumFit> best = fits.stream().findFirst();
    Optional<Whole> whole = best.map(f -> new Whole(bursts, cut, f));
    List<Sample> heard = whole.map(Whole::kept).orElse(cut.samples());
    List<Sample> answers = isAsked ? heard : new RequestsHeard(heard).answers();
    List<Sample> usual = ofUsualLengths(withWholeHeads(answers, best), best, s -> 0);
    int trailer = best.map(ChecksumFit::trailer).orElse(0);
    List<ChecksumFit> rivals =
        fits.stream().skip(1).filter(f -> f.bits() + RIVAL_BITS >= best.get().bits()).toList();
    Optional<LengthFit> length =
        new LengthSearch(usual, cut.isHex(), trailer).fits().stream().findFirst();
    Optional<LengthFit> proven = length.filter(LengthFit::isProven);
    OptionalInt code = KindCode.find(usual, proven, trailer);
    List<Sample> samples =
        code.isEmpty() ? usual : ofUsualLengths(usual, best, s -> s.at(code.getAsInt()));
    int inFront = best.filter(f -> f.form().isInFront()).map(f -> f.place(0) + f.width()).orElse(0);
    int told = proven.map(l -> l.at() + l.bytes()).orElse(0);
    int known = Math.max(told, Math.max(inFront, code.orElse(-1) + 1));
    int covered = best.map(f -> f.form().from()).orElse(0);
    int dataAt = dataAt(samples, Math.max(known, covered), trailer, meter);
    boolean isOneKind = proven.isPresent() && !areKindsOfLength(samples, proven.get());
    return new Structure(
        cut,
        isAsked || samples.stream().anyMatch(s -> s.request().length > 0),
        whole.map(Whole::tally),
        samples,
        best,
        rivals,
        length,
        code,
        dataAt,
        guessed(parted(samples, code, isOneKind, dataAt), samples, dataAt, trailer, meter));
  }

  /**
   * A lost byte of 0 leaves a sum of any width as it was, and others pass one byte of check value
   * in 256: lengths that hardly ever come in a group are damage then.
   */
  private static List<Sample> ofUsualLengths(
      List<Sample> samples, Optional<ChecksumFit> fit, ToIntFunction<Sample> group) {
    if (!isWeak(fit)) {
      return samples;
    }
    Map<Integer, Map<Integer, Integer>> lengths = new TreeMap<>();
    samples.forEach(
        s ->
            lengths
                .computeIfAbsent(group.applyAsInt(s), k -> new TreeMap<>())
                .merge(s.length(), 1, Integer::sum));
    lengths.values().forEach(KindCode::withoutRare);
    return samples.stream()
        .filter(s -> lengths.getOrDefault(group.applyAsInt(s), Map.of()).containsKey(s.length()))
        .toList();
  }

  private static boolean isWeak(Optional<ChecksumFit> fit) {
    return fit.map(ChecksumFit::checksum).filter(c -> c.bytes() == 1 || isSum(c)).isPresent();
  }

  private static boolean isSum(Checksum checksum) {
    return checksum instanceof Sum || checksum instanceof Sum.Seeded;
  }

  /** Damage to bytes that the check value does not cover shows only by their being unusual. */
  private static List<Sample> withWholeHeads(List<Sample> samples, Optional<ChecksumFit> fit) {
    List<Sample> left = samples;
    int uncovered = fit.map(f -> f.form().from()).orElse(0);
    for (int at = 0; at < uncovered; at++) {
      int place = at;
      Map<Integer, Long> counts =
          left.stream().collect(Collectors.groupingBy(s -> s.at(place), Collectors.counting()));
      int most =
          counts.entrySet().stream()
              .max(Map.Entry.comparingByValue())
              .map(Map.Entry::getKey)
              .orElse(-1);
      if (Stretch.nearlyAll(counts.getOrDefault(most, 0L), left.size())) {
        left = left.stream().filter(s -> s.at(place) == most).toList();
      }
    }
    return left;
  }

  static List<Kind> guessed(
      List<Kind> kinds, List<Sample> all, int dataAt, int trailer, Meter meter) {
    List<List<ColumnGuess>> guesses = PackColumns.of(kinds, all, dataAt, trailer, meter);
    return IntStream.range(0, kinds.size())
        .mapToObj(
            i -> {
              Kind kind = kinds.get(i);
              return new Kind(
                  kind.code(), kind.page(), kind.request(), kind.samples(), guesses.get(i));
            })
        .toList();
  }

  /** How sure the check value is: chance is ruled out, and noise explains all that fails. */
  Optional<Certainty> certainty() {
    return checksum.map(
        f -> {
          Certainty certainty = Certainty.of(f.bits());
          boolean isFull = tally.filter(Tally::isNoise).isPresent();
          return certainty == Certainty.SURE && !isFull ? Certainty.LIKELY : certainty;
        });
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

  /** True when lengths are those of several kinds in turn, not those of a row that is counted. */
  private static boolean areKindsOfLength(List<Sample> samples, LengthFit length) {
    int shortest = samples.stream().mapToInt(Sample::length).min().orElse(0);
    boolean isCounted =
        IntStream.rangeClosed(0, Math.min(KindCode.LAST_PLACE + 2, shortest - 1))
            .filter(at -> at < length.at() || at >= length.at() + length.bytes())
            .anyMatch(at -> KindCode.isCount(samples, at));
    boolean isOfTwo = samples.stream().mapToInt(Sample::length).distinct().count() == 2;
    return KindCode.takesTurns(
        samples, Sample::length, isCounted || isOfTwo ? KindCode.NEARLY_ALWAYS : OFTEN);
  }

  /** By code and request, and page by page; pages of several lengths are told by their number. */
  private static List<Kind> parted(
      List<Sample> samples, OptionalInt code, boolean isOneKind, int dataAt) {
    boolean isByLength = code.isEmpty() && samples.stream().allMatch(s -> s.request().length == 0);
    if (isByLength && !samples.isEmpty()) {
      List<Kind> pages = paged(List.of(new Kind(code, "", samples)), dataAt);
      if (pages.size() > 1) {
        return pages;
      }
    }
    return paged(kinds(samples, code, isOneKind), dataAt);
  }

  /** Kinds of which a first byte of the data tells the page, page by page. */
  static List<Kind> paged(List<Kind> kinds, int dataAt) {
    List<Kind> paged = kinds.stream().flatMap(k -> pages(k, dataAt).stream()).toList();
    return paged.size() <= MOST_PAGES ? paged : kinds;
  }

  private static List<Kind> pages(Kind kind, int dataAt) {
    for (int at = dataAt; at <= dataAt + 1 && at < kind.shortest(); at++) {
      int place = at;
      TreeMap<Integer, List<Sample>> pages = byPage(kind.samples(), at);
      List<Sample> samples =
          kind.samples().stream().filter(s -> pages.containsKey(s.at(place))).toList();
      // Pages are numbered without a gap from 0 or 1.
      boolean isNumbered =
          pages.firstKey() <= 1 && pages.lastKey() - pages.firstKey() == pages.size() - 1;
      boolean isTurn = isNumbered && KindCode.takesTurns(samples, s -> s.at(place));
      if (isTurn && areUnlike(samples, pages.size())) {
        return pages.entrySet().stream()
            .map(p -> kind.of(new Kind.Page(place, p.getKey()), p.getValue()))
            .toList();
      }
    }
    return List.of(kind);
  }

  /**
   * By what stands at a place. Pages come equally often; what comes not half as often as the median
   * is damage, where messages of no check value are broken.
   */
  private static TreeMap<Integer, List<Sample>> byPage(List<Sample> samples, int at) {
    TreeMap<Integer, List<Sample>> pages =
        samples.stream()
            .collect(Collectors.groupingBy(s -> s.at(at), TreeMap::new, Collectors.toList()));
    int[] counts = pages.values().stream().mapToInt(List::size).sorted().toArray();
    int least = counts[counts.length / 2] / 2;
    pages.values().removeIf(own -> own.size() < least);
    return pages;
  }

  /**
   * True when messages a whole turn apart have clearly more bytes in common than neighbours: what
   * goes through a few numbers and says the same under each is a counter.
   */
  private static boolean areUnlike(List<Sample> samples, int pages) {
    long apart = 0;
    long beside = 0;
    for (int i = 0; i + pages < samples.size(); i++) {
      apart += inCommon(samples.get(i), samples.get(i + pages));
      beside += inCommon(samples.get(i), samples.get(i + 1));
    }
    return apart * 10 > beside * 11;
  }

  private static int inCommon(Sample a, Sample b) {
    int same = 0;
    for (int i = 0; i < Math.min(a.length(), b.length()); i++) {
      same += a.at(i) == b.at(i) ? 1 : 0;
    }
    return same;
  }

  private static int dataAt(List<Sample> samples, int headEnd, int trailer, Meter meter) {
    int shortest = samples.stream().mapToInt(Sample::length).min().orElse(0);
    int behind = headEnd;
    if (behind == 0) {
      int cells = PackColumns.firstCellAt(samples, shortest - trailer, meter);
      behind = Math.min(cells, Math.min(LONGEST_START, constantPrefix(samples)));
    }
    return Math.max(0, Math.min(behind, shortest - trailer - 1));
  }

  private static List<Kind> kinds(List<Sample> samples, OptionalInt code, boolean isOneKind) {
    Map<String, List<Sample>> groups =
        samples.stream()
            .collect(
                Collectors.groupingBy(
                    s -> keyOf(s, code, isOneKind),
                    TreeMap::new,
                    Collectors.toCollection(ArrayList::new)));
    List<Kind> kinds = new ArrayList<>();
    for (List<Sample> group : groups.values()) {
      Sample first = group.get(0);
      OptionalInt value =
          code.isPresent() ? OptionalInt.of(first.at(code.getAsInt())) : OptionalInt.empty();
      kinds.add(new Kind(value, HexFormat.of().formatHex(first.request()), group));
    }
    return kinds.size() <= KindCode.MOST_KINDS ? kinds : kinds.subList(0, KindCode.MOST_KINDS);
  }

  private static String keyOf(Sample sample, OptionalInt code, boolean isOneKind) {
    String asked = HexFormat.of().formatHex(sample.request());
    if (code.isPresent()) {
      return HexFormat.of().toHexDigits((byte) sample.at(code.getAsInt())) + asked;
    }
    boolean isByLength = asked.isEmpty() && !isOneKind;
    return isByLength ? "length " + (1_000_000 + sample.length()) : asked;
  }
}
