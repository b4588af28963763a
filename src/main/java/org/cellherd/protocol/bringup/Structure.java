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
import java.util.function.ToIntFunction;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.cellherd.protocol.bringup.Identification.Certainty;
import org.cellherd.protocol.bringup.Whole.Tally;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.SeededSum;
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

  private static final int LAST_CODE_PLACE = 7;
  private static final int MOST_KINDS = 16;
  private static final int MOST_PAGES = 64;

  /** Noise breaks one turn in seven at most. */
  private static final int NEARLY_ALWAYS = 85;

  /** What comes at each third round only breaks more; three by chance turn a third of the times. */
  private static final int OFTEN = 65;

  /** So many rounds of pages are needed to tell them from chance. */
  private static final int FEWEST_TURNS = 3;

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
    List<Sample> samples = ofUsualLengths(withWholeHeads(answers, best), best);
    int trailer = best.map(ChecksumFit::trailer).orElse(0);
    List<ChecksumFit> rivals =
        fits.stream().skip(1).filter(f -> f.bits() + RIVAL_BITS >= best.get().bits()).toList();
    Optional<LengthFit> length =
        new LengthSearch(samples, cut.isHex(), trailer).fits().stream().findFirst();
    Optional<LengthFit> proven = length.filter(LengthFit::isProven);
    OptionalInt code = code(samples, proven, trailer);
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
   * in 256: lengths that hardly ever come are damage then.
   */
  private static List<Sample> ofUsualLengths(List<Sample> samples, Optional<ChecksumFit> fit) {
    if (fit.map(ChecksumFit::checksum).filter(c -> c.bytes() == 1 || isSum(c)).isEmpty()) {
      return samples;
    }
    Map<Integer, Long> counts =
        samples.stream().collect(Collectors.groupingBy(Sample::length, Collectors.counting()));
    int rare = Stretch.fewOf(samples.size());
    return samples.stream().filter(s -> counts.getOrDefault(s.length(), 0L) > rare).toList();
  }

  private static boolean isSum(Checksum checksum) {
    return checksum instanceof Sum || checksum instanceof SeededSum;
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

  /** The kinds with what their columns may be. */
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

  /**
   * The first byte that differs, if it tells length or request of the message; else the first that
   * takes turns with itself, as the number of a page does.
   */
  private static OptionalInt code(List<Sample> samples, Optional<LengthFit> length, int trailer) {
    int shortest = samples.stream().mapToInt(Sample::length).min().orElse(0) - trailer;
    boolean isFirst = true;
    boolean isByLength = takesTurns(samples, Sample::length);
    // A byte of data at least stands behind a code.
    for (int at = 0; at <= LAST_CODE_PLACE && at < shortest - 1; at++) {
      int place = at;
      boolean isLength =
          length.filter(l -> place >= l.at() && place < l.at() + l.bytes()).isPresent();
      if (isData(samples, at)) {
        return OptionalInt.empty();
      }
      if (!isLength && !isConstant(samples, at)) {
        boolean isBehind = length.filter(l -> place > l.at()).isPresent();
        boolean isNeeded = !(isBehind && isByLength) && !(isBehind && isLengthEnough(samples, at));
        boolean tells = isFirst && tellsKind(samples, at);
        boolean turns = takesTurns(samples, s -> s.at(place)) && followsRequests(samples, at);
        if (isNeeded && (tells || turns)) {
          return OptionalInt.of(at);
        }
        isFirst = false;
      }
    }
    return OptionalInt.empty();
  }

  /** What is not nearly always the same in the answers to one of several requests is data. */
  private static boolean isData(List<Sample> samples, int at) {
    Map<String, Map<Integer, Integer>> values = new TreeMap<>();
    samples.forEach(
        s ->
            values
                .computeIfAbsent(HexFormat.of().formatHex(s.request()), k -> new TreeMap<>())
                .merge(s.at(at), 1, Integer::sum));
    return values.size() > 1
        && values.values().stream()
            .anyMatch(
                counts ->
                    !Stretch.nearlyAll(
                        counts.values().stream().mapToInt(n -> n).max().orElse(0),
                        counts.values().stream().mapToInt(n -> n).sum()));
  }

  /** Where several requests are known, what tells kinds apart has one value for each. */
  private static boolean followsRequests(List<Sample> samples, int at) {
    Map<String, Set<Integer>> values = new TreeMap<>();
    samples.forEach(
        s ->
            values
                .computeIfAbsent(HexFormat.of().formatHex(s.request()), k -> new HashSet<>())
                .add(s.at(at)));
    return values.size() < 2 || values.values().stream().allMatch(v -> v.size() == 1);
  }

  /** What follows a number of bytes and tells no more than that is data by chance the same. */
  private static boolean isLengthEnough(List<Sample> samples, int at) {
    Map<Integer, Set<Integer>> values = new TreeMap<>();
    samples.forEach(s -> values.computeIfAbsent(s.length(), k -> new HashSet<>()).add(s.at(at)));
    return values.values().stream().allMatch(v -> v.size() == 1);
  }

  private static boolean takesTurns(List<Sample> samples, ToIntFunction<Sample> mark) {
    return takesTurns(samples, mark, NEARLY_ALWAYS);
  }

  /** True when lengths are those of several kinds in turn, not those of a row that is counted. */
  private static boolean areKindsOfLength(List<Sample> samples, LengthFit length) {
    int shortest = samples.stream().mapToInt(Sample::length).min().orElse(0);
    boolean isCounted =
        IntStream.rangeClosed(0, Math.min(LAST_CODE_PLACE + 2, shortest - 1))
            .filter(at -> at < length.at() || at >= length.at() + length.bytes())
            .anyMatch(at -> isCount(samples, at));
    boolean isOfTwo = samples.stream().mapToInt(Sample::length).distinct().count() == 2;
    return takesTurns(samples, Sample::length, isCounted || isOfTwo ? NEARLY_ALWAYS : OFTEN);
  }

  /** Few values, each followed by the same other one in some percent: as pages come. */
  private static boolean takesTurns(List<Sample> samples, ToIntFunction<Sample> mark, int percent) {
    Map<Integer, Map<Integer, Integer>> next = new TreeMap<>();
    for (int i = 0; i + 1 < samples.size(); i++) {
      next.computeIfAbsent(mark.applyAsInt(samples.get(i)), k -> new TreeMap<>())
          .merge(mark.applyAsInt(samples.get(i + 1)), 1, Integer::sum);
    }
    int expected = 0;
    for (Map.Entry<Integer, Map<Integer, Integer>> entry : next.entrySet()) {
      Map.Entry<Integer, Integer> most =
          entry.getValue().entrySet().stream().max(Map.Entry.comparingByValue()).orElseThrow();
      expected += most.getKey().equals(entry.getKey()) ? 0 : most.getValue();
    }
    return next.size() >= 2
        && next.size() <= MOST_KINDS
        && samples.size() >= FEWEST_TURNS * next.size()
        && expected * 100L >= (samples.size() - 1) * (long) percent;
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
    // Several pages may have one code, but no shape has two.
    int each = shapes.values().stream().mapToInt(Set::size).sum();
    return shapes.size() <= MOST_KINDS
        && !isCount(samples, at)
        && counts.values().stream().allMatch(c -> c >= 2)
        && all.size() == each;
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
      boolean isTurn = isNumbered && takesTurns(samples, s -> s.at(place));
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
    return kinds.size() <= MOST_KINDS ? kinds : kinds.subList(0, MOST_KINDS);
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
