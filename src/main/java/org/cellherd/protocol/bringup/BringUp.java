package org.cellherd.protocol.bringup;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.cellherd.protocol.bringup.line.TextLines;

/** Identifies the messages of an unknown board from captured bytes. */
public final class BringUp {

  /** Cuts in which a CRC with any polynomial is looked for, which takes long. */
  private static final int MOST_SEARCHED = 3;

  private BringUp() {}

  /** Work of finding a cut: a cut and the check values that fit its messages. */
  private record Attempt(Cut cut, List<ChecksumFit> fits) {
    int bits() {
      return fits.isEmpty() ? 0 : fits.get(0).bits();
    }
  }

  /** Looks at bytes in the order of their times; never throws, whatever they are. */
  public static Identification identify(List<HeardBytes> heard) {
    List<Burst> bursts = Bursts.of(heard);
    boolean isAsked = heard.stream().anyMatch(HeardBytes::isToBoard);
    Optional<TextLines> text = textOf(bursts);
    Optional<Structure> can = text.flatMap(t -> CanFrames.structure(t.canLines()));
    if (can.isPresent()) {
      return Identification.ofCan(can.get(), text.get());
    }
    List<Cut> cuts = new Cutter(bursts).cuts();
    if (text.isPresent() && cuts.stream().noneMatch(Cut::isHex)) {
      return Identification.ofText(text.get(), isAsked);
    }
    Optional<Attempt> best =
        cuts.stream()
            .map(c -> new Attempt(c, new ChecksumSearch(c).fits()))
            .max(
                Comparator.comparingInt(Attempt::bits)
                    .thenComparingInt(a -> -a.cut().others())
                    .thenComparingInt(a -> a.cut().samples().size()));
    if (best.isEmpty()) {
      return Identification.nothing(bursts.size());
    }
    Attempt chosen = best.get().bits() > 0 ? best.get() : ownCrc(cuts).orElse(best.get());
    return Identification.of(chosen.cut(), chosen.fits(), isAsked);
  }

  /** A CRC of the maker's own in one of the most promising cuts. */
  private static Optional<Attempt> ownCrc(List<Cut> cuts) {
    return cuts.stream()
        .filter(c -> !c.isHex())
        .sorted(
            Comparator.comparingInt(Cut::others)
                .thenComparing(Comparator.comparingInt((Cut c) -> c.samples().size()).reversed()))
        .limit(MOST_SEARCHED)
        .flatMap(c -> new CrcSearch(c).fit().map(f -> new Attempt(c, List.of(f))).stream())
        .findFirst();
  }

  private static Optional<TextLines> textOf(List<Burst> bursts) {
    byte[] request = bursts.isEmpty() ? new byte[0] : bursts.get(0).request();
    return TextLines.of(bursts.stream().map(Burst::bytes).toList(), request);
  }
}
