package org.cellherd.protocol.bringup;

import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.checksum.Crc;

/**
 * Finds a CRC of 8 or 16 bits that no catalogue has. Between two messages of one length, initial
 * value and final exclusive-or cancel: the difference of the check values is the bare CRC of the
 * difference of the bytes. So the polynomial is found first, by trying all; then an initial value
 * that suits every length.
 */
final class CrcSearch {
  private static final int FEWEST = 4;
  private static final int MOST = 40;
  private static final int MOST_AFTER = 2;

  /** A first message may be broken: so many pairs are asked first. */
  private static final int FIRST_PAIRS = 3;

  /** Where two lengths leave an initial value open, so many are tried. */
  private static final int MOST_INITIALS = 16;

  private final List<Sample> samples;
  private final List<Sample> alike;
  private final boolean isMarked;

  CrcSearch(Cut cut) {
    this.isMarked = cut.escape().isPresent();
    this.samples = cut.samples().stream().distinct().limit(MOST).toList();
    Map<Integer, List<Sample>> byLength =
        samples.stream().collect(Collectors.groupingBy(Sample::length));
    this.alike =
        byLength.values().stream().max(Comparator.comparingInt(List::size)).orElse(List.of());
  }

  /** What is found, for the samples it was sought in. */
  Optional<ChecksumFit> fit() {
    for (int width = 16; width >= 8 && alike.size() >= FEWEST; width -= 8) {
      for (int after = isMarked ? 1 : 0; after <= MOST_AFTER; after++) {
        for (int order = 0; order < width / 8; order++) {
          Optional<ChecksumFit> fit = fit(width, Form.atEnd(0, after, order == 1));
          if (fit.isPresent()) {
            return fit;
          }
        }
      }
    }
    return Optional.empty();
  }

  private Optional<ChecksumFit> fit(int width, Form form) {
    int place = form.place(alike.get(0).length(), width / 8);
    if (place < 2) {
      return Optional.empty();
    }
    for (int poly = 1; poly < 1 << width; poly += 2) {
      for (int reflected = 0; reflected < 2; reflected++) {
        int pairs = pairs(width, form, place, poly, reflected == 1);
        if (pairs * 10 >= (alike.size() - 1) * 5 && pairs * width > 3 * 16) {
          Optional<ChecksumFit> fit = complete(width, form, poly, reflected == 1);
          if (fit.isPresent()) {
            return fit;
          }
        }
      }
    }
    return Optional.empty();
  }

  /** Pairs of neighbours whose differences agree; 0 when none of the first does. */
  private int pairs(int width, Form form, int place, int poly, boolean reflected) {
    int agreeing = 0;
    for (int i = 0; i + 1 < alike.size(); i++) {
      if (i == FIRST_PAIRS && agreeing == 0) {
        return 0;
      }
      agreeing +=
          agrees(alike.get(i), alike.get(i + 1), width, form, place, poly, reflected) ? 1 : 0;
    }
    return agreeing;
  }

  private static boolean agrees(
      Sample a, Sample b, int width, Form form, int place, int poly, boolean reflected) {
    int register = 0;
    for (int i = 0; i < place; i++) {
      int difference = a.at(i) ^ b.at(i);
      if (register != 0 || difference != 0) {
        register = stepped(register, difference, width, poly, reflected);
      }
    }
    int value = reflected ? Integer.reverse(register) >>> (32 - width) : register;
    return value == (value(a, form, place, width) ^ value(b, form, place, width));
  }

  /** One byte through the register, bit by bit. */
  private static int stepped(int register, int b, int width, int poly, boolean reflected) {
    int in = reflected ? Integer.reverse(b) >>> 24 : b;
    int moved = register ^ (in << (width - 8));
    int top = 1 << (width - 1);
    for (int bit = 0; bit < 8; bit++) {
      moved = (moved & top) != 0 ? moved << 1 ^ poly : moved << 1;
    }
    return moved & (1 << width) - 1;
  }

  private static int value(Sample sample, Form form, int place, int width) {
    int first = sample.at(place);
    if (width == 8) {
      return first;
    }
    int second = sample.at(place + 1);
    return form.isLowFirst() ? second << 8 | first : first << 8 | second;
  }

  // ---- initial value and final exclusive-or ----------------------------------------------------

  /** With the initial value that suits most messages; the usual two are tried first. */
  private Optional<ChecksumFit> complete(int width, Form form, int poly, boolean reflected) {
    int mask = (1 << width) - 1;
    Crc.Parameters bare = new Crc.Parameters(width, poly, 0, reflected, reflected, 0);
    Set<Integer> inits = new LinkedHashSet<>(List.of(0, mask));
    Sample first = alike.get(0);
    samples.stream()
        .filter(s -> s.length() != first.length())
        .limit(FIRST_PAIRS)
        .forEach(other -> inits.addAll(initials(bare, form, first, other)));
    Optional<ChecksumFit> best = Optional.empty();
    for (int init : inits) {
      for (Sample sample : alike.subList(0, FIRST_PAIRS)) {
        long xorOut = begun(bare, init, form, sample) ^ value(sample, form, width);
        Crc crc =
            new Crc("crc", new Crc.Parameters(width, poly, init, reflected, reflected, xorOut));
        List<Sample> passed =
            samples.stream().filter(s -> ChecksumSearch.fits(crc, form, s)).toList();
        // An initial value that was made for a message passes it, broken or not.
        int own = init == 0 || init == mask ? 0 : 1;
        if (passed.size() - own > best.map(f -> f.passed().size()).orElse(0)) {
          best = Optional.of(fit(crc, form, passed));
        }
      }
    }
    return best.filter(f -> f.bits() > 0 && f.passed().size() * 10 >= samples.size() * 6);
  }

  /**
   * Initial values that suit two messages of different lengths, as where an address that is not
   * sent stands in front: what a bit of it adds to a check value depends on the length alone, and
   * bits add up.
   */
  private static Set<Integer> initials(Crc.Parameters bare, Form form, Sample a, Sample b) {
    int width = bare.width();
    long[] adds = new long[width];
    long wanted = difference(bare, 0, form, a, b);
    for (int bit = 0; bit < width; bit++) {
      adds[bit] = difference(bare, 1 << bit, form, a, b) ^ wanted;
    }
    wanted ^= value(a, form, width) ^ value(b, form, width);
    Set<Integer> found = new LinkedHashSet<>();
    for (int init = 0; init < 1 << width && found.size() < MOST_INITIALS; init++) {
      long sum = 0;
      for (int bit = 0; bit < width; bit++) {
        sum ^= (init >> bit & 1) != 0 ? adds[bit] : 0;
      }
      if (sum == wanted) {
        found.add(init);
      }
    }
    return found;
  }

  private static long difference(Crc.Parameters bare, int init, Form form, Sample a, Sample b) {
    return begun(bare, init, form, a) ^ begun(bare, init, form, b);
  }

  private static long begun(Crc.Parameters bare, int init, Form form, Sample sample) {
    Crc.Parameters begun =
        new Crc.Parameters(bare.width(), bare.poly(), init, bare.reflectIn(), bare.reflectOut(), 0);
    int place = form.place(sample.length(), bare.width() / 8);
    return new Crc("crc", begun).over(sample.bytes(), 0, place);
  }

  private static int value(Sample sample, Form form, int width) {
    return value(sample, form, form.place(sample.length(), width / 8), width);
  }

  /** One message goes into the constants; trying all polynomials costs as many bits. */
  private ChecksumFit fit(Crc crc, Form form, List<Sample> passed) {
    int width = crc.parameters().width();
    int cost = 2 * width + 4 + 2 * (samples.size() - passed.size());
    int bits = Math.max(0, passed.size() * width - cost);
    return new ChecksumFit(crc, form, passed, samples.size(), bits);
  }
}
