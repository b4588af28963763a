package org.cellherd.protocol.bringup;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.function.ToIntFunction;
import java.util.stream.Collectors;
import java.util.stream.IntStream;

/** Identifies the messages of an unknown board from captured bytes. */
public final class BringUp {

  /**
   * Cuts in which a CRC with any polynomial is looked for; so many with escapes and so many
   * without, since each pair of marks is tried with a dozen escapes.
   */
  private static final int MOST_SEARCHED = 24;

  /** Shares of explained bytes count as equal within one part of so many. */
  private static final int SHARES = 20;

  /**
   * Of a message less than a third is its mark, and noise breaks one in seven at most: so many of
   * the messages that pass without a byte of it pass with it.
   */
  private static final int MARKED_PERCENT = 95;

  /** Messages in which a pause is looked for. */
  private static final int MOST_SEAMS = 40;

  /** A computer hands on so many messages of one length at the same byte hardly ever by chance. */
  private static final int FEWEST_SEAMS = 3;

  private BringUp() {}

  /** Work of finding a cut: the bursts it was sought in, the cut, and the check values that fit. */
  private record Attempt(Bursts bursts, Cut cut, List<ChecksumFit> fits) {
    int bits() {
      return fits.isEmpty() ? 0 : fits.get(0).bits();
    }

    private List<Sample> passing() {
      return fits.isEmpty()
          ? List.of()
          : cut.samples().stream().filter(s -> ChecksumSearch.fits(fits.get(0), s)).toList();
    }

    /** To a sum a request and its answer together are one message; two are the finer cut. */
    int messages() {
      return passing().size();
    }

    /** What the messages say: different marks and escapes often cut the same. */
    List<ByteBuffer> contents() {
      return cut.samples().stream().map(s -> ByteBuffer.wrap(s.bytes())).toList();
    }

    /** Escapes that are not taken off make lengths of one kind differ. */
    int lengths() {
      return (int) passing().stream().mapToInt(Sample::length).distinct().count();
    }

    /** Bytes of the messages that pass. */
    long inside() {
      return passing().stream().mapToLong(s -> s.wire().length).sum();
    }

    /** Share of all bytes that lie in messages which pass, in parts of {@link #SHARES}. */
    int explained() {
      return share(passing());
    }

    /** The same of all messages, when no check value is known. */
    int covered() {
      return share(cut.samples());
    }

    /** What stands in front and is not covered is part of a message as far as a mark is long. */
    private int share(List<Sample> messages) {
      int from = fits.isEmpty() ? 0 : fits.get(0).form().from();
      int before = Math.max(0, from - Cutter.LONGEST_HEADER);
      long inside = messages.stream().mapToLong(s -> s.wire().length - before).sum();
      long all = bursts.searched().stream().mapToLong(Burst::length).sum();
      return Math.round((float) SHARES * inside / Math.max(1, all));
    }

    /**
     * True when most messages have a pause at one place from begin or end, or at one for each
     * length: what stands beyond it may be another message, as a question that is not covered. The
     * sums of messages that end with theirs add up to a constant, and so does a question under any
     * check value that begins with one.
     */
    boolean isJoined() {
      List<Sample> some = passing().stream().limit(MOST_SEAMS).toList();
      Map<Integer, List<Sample>> byLength =
          some.stream().collect(Collectors.groupingBy(s -> s.wire().length));
      int seamed =
          byLength.values().stream()
              .filter(own -> own.size() >= FEWEST_SEAMS && hasSeam(own))
              .mapToInt(List::size)
              .sum();
      return hasSeam(some) || seamed * 10L >= some.size() * 8L;
    }

    private static boolean hasSeam(List<Sample> some) {
      int shortest = some.stream().mapToInt(s -> s.wire().length).min().orElse(0);
      return IntStream.range(1, shortest)
          .anyMatch(at -> isSeam(some, s -> at) || isSeam(some, s -> s.wire().length - at));
    }

    private static boolean isSeam(List<Sample> some, ToIntFunction<Sample> place) {
      return some.stream().filter(s -> s.pausesAt(place.applyAsInt(s))).count() * 10
          >= some.size() * 8L;
    }

    boolean isSure() {
      return Identification.Certainty.of(bits()) == Identification.Certainty.SURE;
    }
  }

  /**
   * Looks at a recording; never throws, whatever it holds.
   *
   * @param known what a meter told meanwhile
   */
  public static Identification identify(Recording recording, List<Known> known) {
    return search(recording).apply(known);
  }

  /** Cuts a recording once; what its columns are can then be asked with several meters' values. */
  static Function<List<Known>, Identification> search(Recording recording) {
    long start = recording.isEmpty() ? 0 : recording.atMs(0);
    List<Attempt> attempts = new ArrayList<>();
    Optional<TextLines> text = Optional.empty();
    int count = 0;
    for (long pause : Bursts.pauses(recording)) {
      Bursts bursts = new Bursts(recording, pause);
      List<Burst> searched = bursts.searched();
      count = Math.max(count, bursts.size());
      text = text.isPresent() ? text : textOf(searched);
      Optional<CanFrames> can =
          text.filter(TextLines::isOfCan).flatMap(t -> CanFrames.of(searched));
      if (can.isPresent()) {
        TextLines lines = text.get();
        return k -> Identification.ofCan(can.get().structure(new Meter(k, start)), lines);
      }
      List<Cut> cuts = new Cutter(searched).cuts();
      if (text.isPresent() && cuts.stream().noneMatch(Cut::isHex)) {
        Identification ofText = Identification.ofText(text.get(), recording.isAsked());
        return k -> ofText;
      }
      cuts.forEach(c -> attempts.add(new Attempt(bursts, c, new ChecksumSearch(c).fits())));
    }
    if (attempts.isEmpty()) {
      Identification nothing = Identification.nothing(count);
      return k -> nothing;
    }
    Attempt best = best(attempts);
    return k ->
        Identification.of(
            Structure.of(best.bursts(), best.cut(), best.fits(), new Meter(k, start)));
  }

  private static Attempt best(List<Attempt> attempts) {
    Attempt best =
        attempts.stream()
            .max(
                Comparator.comparing(Attempt::isSure)
                    .thenComparing(a -> !a.isJoined())
                    .thenComparingInt(Attempt::explained)
                    .thenComparingInt(Attempt::messages)
                    .thenComparingInt(a -> -a.lengths())
                    .thenComparingInt(Attempt::bits)
                    .thenComparingInt(a -> -a.cut().others())
                    .thenComparingInt(a -> a.cut().samples().size()))
            .orElseThrow();
    Attempt chosen = best.bits() > 0 ? withWholeMark(best, attempts) : best;
    if (!best.isSure()) {
      chosen = ownCrc(attempts).filter(a -> a.bits() > best.bits()).orElse(chosen);
    }
    return chosen;
  }

  /**
   * The attempt whose messages are the longest: a mark of fewer bytes than the board's is broken by
   * noise less often, and so passes some messages more.
   */
  private static Attempt withWholeMark(Attempt best, List<Attempt> attempts) {
    return attempts.stream()
        .filter(a -> a.isSure() && !a.isJoined())
        .filter(a -> a.fits().get(0).checksum().bytes() == best.fits().get(0).checksum().bytes())
        .filter(a -> a.messages() * 100L >= best.messages() * (long) MARKED_PERCENT)
        .filter(a -> a.inside() > best.inside())
        .max(Comparator.comparingLong(Attempt::inside))
        .orElse(best);
  }

  /** A CRC of the maker's own in one of the most promising cuts. */
  private static Optional<Attempt> ownCrc(List<Attempt> attempts) {
    List<Attempt> fitting = ownCrcs(attempts);
    return fitting.stream()
        .max(
            Comparator.comparing((Attempt a) -> !a.isJoined())
                .thenComparingInt(Attempt::messages)
                .thenComparingInt(a -> -a.lengths())
                .thenComparing(a -> a.cut().escape().isEmpty()))
        .map(best -> withWholeMark(best, fitting));
  }

  private static List<Attempt> ownCrcs(List<Attempt> attempts) {
    Map<Boolean, List<Attempt>> byEscape =
        attempts.stream()
            .sorted(
                Comparator.comparingInt((Attempt a) -> -a.covered())
                    .thenComparingInt(a -> -a.cut().samples().size())
                    .thenComparingInt(a -> a.cut().others()))
            .collect(Collectors.partitioningBy(a -> a.cut().escape().isPresent()));
    Set<List<ByteBuffer>> seen = new HashSet<>();
    return byEscape.values().stream()
        .flatMap(own -> own.stream().filter(a -> seen.add(a.contents())).limit(MOST_SEARCHED))
        .flatMap(
            a ->
                new CrcSearch(a.cut())
                    .fit().map(f -> new Attempt(a.bursts(), a.cut(), List.of(f))).stream())
        .toList();
  }

  private static Optional<TextLines> textOf(List<Burst> bursts) {
    byte[] request = bursts.isEmpty() ? new byte[0] : bursts.get(0).request();
    return TextLines.of(bursts.stream().map(Burst::bytes).toList(), request);
  }
}
