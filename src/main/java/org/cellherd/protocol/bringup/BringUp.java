package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.cellherd.protocol.bringup.line.TextLines;

/** Identifies the messages of an unknown board from captured bytes. */
public final class BringUp {

  /** Cuts in which a CRC with any polynomial is looked for, which takes long. */
  private static final int MOST_SEARCHED = 3;

  /** Shares of explained bytes count as equal within one part of so many. */
  private static final int SHARES = 20;

  /** Messages in which a pause is looked for. */
  private static final int MOST_SEAMS = 40;

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
     * A pause that is always at one place of what the check value does not cover parts a question
     * from its answer.
     */
    boolean isSeamed() {
      int from = fits.isEmpty() ? 0 : fits.get(0).form().from();
      List<Sample> some = passing().stream().limit(MOST_SEAMS).toList();
      int seam = some.isEmpty() || from < 2 ? 0 : some.get(some.size() / 2).seam();
      long same = some.stream().filter(s -> s.seam() == seam).count();
      return seam > 0 && seam <= from && same * 10 >= some.size() * 8L;
    }

    boolean isSure() {
      return Identification.Certainty.of(bits()) == Identification.Certainty.SURE;
    }
  }

  /** Looks at bytes in the order of their times; never throws, whatever they are. */
  public static Identification identify(List<HeardBytes> heard) {
    return identify(Recording.of(heard), List.of());
  }

  /**
   * Looks at a recording; never throws, whatever it holds.
   *
   * @param known what a meter told meanwhile
   */
  public static Identification identify(Recording recording, List<Known> known) {
    Meter meter = new Meter(known, recording.isEmpty() ? 0 : recording.atMs(0));
    List<Attempt> attempts = new ArrayList<>();
    Optional<TextLines> text = Optional.empty();
    int count = 0;
    for (long pause : Bursts.pauses(recording)) {
      Bursts bursts = new Bursts(recording, pause);
      List<Burst> searched = bursts.searched();
      count = Math.max(count, bursts.size());
      text = text.isPresent() ? text : textOf(searched);
      Optional<Structure> can =
          text.filter(TextLines::isOfCan).flatMap(t -> CanFrames.structure(searched, meter));
      if (can.isPresent()) {
        return Identification.ofCan(can.get(), text.get());
      }
      List<Cut> cuts = new Cutter(searched).cuts();
      if (text.isPresent() && cuts.stream().noneMatch(Cut::isHex)) {
        return Identification.ofText(text.get(), recording.isAsked());
      }
      cuts.forEach(c -> attempts.add(new Attempt(bursts, c, new ChecksumSearch(c).fits())));
    }
    return attempts.isEmpty() ? Identification.nothing(count) : best(attempts, meter);
  }

  private static Identification best(List<Attempt> attempts, Meter meter) {
    Attempt best =
        attempts.stream()
            .max(
                Comparator.comparing(Attempt::isSure)
                    .thenComparing(a -> !a.isSeamed())
                    .thenComparingInt(Attempt::explained)
                    .thenComparingInt(Attempt::messages)
                    .thenComparingInt(Attempt::bits)
                    .thenComparingInt(a -> -a.cut().others())
                    .thenComparingInt(a -> a.cut().samples().size()))
            .orElseThrow();
    Attempt chosen = best.bits() > 0 ? best : ownCrc(attempts).orElse(best);
    return Identification.of(Structure.of(chosen.bursts(), chosen.cut(), chosen.fits(), meter));
  }

  /** A CRC of the maker's own in one of the most promising cuts. */
  private static Optional<Attempt> ownCrc(List<Attempt> attempts) {
    return attempts.stream()
        .filter(a -> !a.cut().isHex())
        .sorted(
            Comparator.comparingInt((Attempt a) -> -a.covered())
                .thenComparingInt(a -> -a.cut().samples().size())
                .thenComparing(a -> a.cut().escape().isPresent())
                .thenComparingInt(a -> a.cut().others()))
        .limit(MOST_SEARCHED)
        .flatMap(
            a ->
                new CrcSearch(a.cut())
                    .fit().map(f -> new Attempt(a.bursts(), a.cut(), List.of(f))).stream())
        .max(
            Comparator.comparingInt(Attempt::messages)
                .thenComparing(a -> a.cut().escape().isEmpty()));
  }

  private static Optional<TextLines> textOf(List<Burst> bursts) {
    byte[] request = bursts.isEmpty() ? new byte[0] : bursts.get(0).request();
    return TextLines.of(bursts.stream().map(Burst::bytes).toList(), request);
  }
}
