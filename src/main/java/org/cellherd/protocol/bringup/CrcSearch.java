package org.cellherd.protocol.bringup;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.checksum.Crc;

/**
 * Finds a CRC of 8 to 32 bits that no catalogue has. Between two messages of one length, initial
 * value and final exclusive-or cancel: their difference, check value included, is a multiple of the
 * polynomial. So the greatest common divisor of a few differences is the polynomial; then an
 * initial value is sought that suits every length.
 */
final class CrcSearch {
  private static final int FEWEST = 4;
  private static final int MOST = 40;
  private static final int MOST_AFTER = 2;

  /** So many messages are asked for an initial value: the first may be broken. */
  private static final int FIRST = 3;

  /** Two multiples share more than the polynomial half of the times, so many hardly ever. */
  private static final int MOST_SHARED = 8;

  /** Bits of check values that agree, three times what the usual polynomial has: not chance. */
  private static final int LEAST_BITS = 16;

  private final List<Sample> samples;
  private final boolean isMarked;
  private final int mostAfter;

  CrcSearch(Cut cut) {
    // What ends a line of hex digits is none of its bytes.
    this.mostAfter = cut.isHex() ? 0 : MOST_AFTER;
    this.isMarked = cut.escape().isPresent();
    this.samples = cut.samples().stream().distinct().limit(MOST).toList();
  }

  /** The most samples that cover equally many bytes. */
  private List<Sample> alike(int width, Form form) {
    Map<Integer, List<Sample>> byLength =
        samples.stream()
            .filter(s -> form.place(s.length(), width / 8) >= 2)
            .collect(Collectors.groupingBy(s -> covered(s, form, width).length));
    return byLength.values().stream().max(Comparator.comparingInt(List::size)).orElse(List.of());
  }

  private static byte[] covered(Sample sample, Form form, int width) {
    int place = form.place(sample.length(), width / 8);
    return form.overCharacters()
        ? sample.characters(0, place)
        : Arrays.copyOf(sample.bytes(), place);
  }

  /** What is found, for the samples it was sought in. */
  Optional<ChecksumFit> fit() {
    for (int width = 32; width >= 8; width -= 8) {
      for (int after = isMarked ? 1 : 0; after <= mostAfter; after++) {
        for (int order = 0; order < (width > 8 ? 2 : 1); order++) {
          Optional<ChecksumFit> fit = fit(width, after, order == 1);
          if (fit.isPresent()) {
            return fit;
          }
        }
      }
    }
    return Optional.empty();
  }

  /** Over the bytes, or over them as sent where that passes more: few messages hold an escape. */
  private Optional<ChecksumFit> fit(int width, int after, boolean isLowFirst) {
    Optional<ChecksumFit> plain = fit(width, Form.atEnd(0, after, isLowFirst));
    if (!isMarked) {
      return plain;
    }
    Form sent = new Form(0, Form.AT_END, after, isLowFirst, false, true);
    return Stream.of(plain, fit(width, sent))
        .flatMap(Optional::stream)
        .reduce((a, b) -> b.passed().size() > a.passed().size() ? b : a);
  }

  private Optional<ChecksumFit> fit(int width, Form form) {
    List<Sample> alike = alike(width, form);
    return alike.size() < FEWEST
        ? Optional.empty()
        : fit(width, form, alike, false).or(() -> fit(width, form, alike, true));
  }

  private Optional<ChecksumFit> fit(int width, Form form, List<Sample> alike, boolean isReflected) {
    int swapped = form.isLowFirst() != isReflected ? width / 8 : 0;
    List<BigInteger> differences = new ArrayList<>();
    for (int i = 0; i + 1 < alike.size(); i++) {
      byte[] bytes =
          difference(said(alike.get(i), form, width), said(alike.get(i + 1), form, width));
      differences.add(polynomial(bytes, swapped, isReflected));
    }
    for (BigInteger poly : polynomials(differences, width)) {
      long agreeing = differences.stream().filter(d -> rest(d, poly).signum() == 0).count();
      if (agreeing * 2 >= differences.size() && agreeing * width > 3 * LEAST_BITS) {
        long bits = poly.clearBit(width).longValueExact();
        Crc.Parameters bare = new Crc.Parameters(width, bits, 0, isReflected, isReflected, 0);
        Optional<ChecksumFit> fit = complete(bare, form, alike);
        if (fit.isPresent()) {
          return fit;
        }
      }
    }
    return Optional.empty();
  }

  /** What is covered, and the check value behind it. */
  private static byte[] said(Sample sample, Form form, int width) {
    byte[] covered = covered(sample, form, width);
    byte[] said = Arrays.copyOf(covered, covered.length + width / 8);
    int place = form.place(sample.length(), width / 8);
    System.arraycopy(sample.bytes(), place, said, covered.length, width / 8);
    return said;
  }

  /** What divides some differences of neighbours in a row; noise breaks some rows. */
  private static Set<BigInteger> polynomials(List<BigInteger> differences, int width) {
    Set<BigInteger> found = new LinkedHashSet<>();
    for (int i = 0; i + 1 < differences.size(); i++) {
      BigInteger shared = differences.get(i);
      int last = Math.min(differences.size(), i + MOST_SHARED);
      for (int j = i + 1; j < last && shared.bitLength() > width + 1; j++) {
        shared = divisor(shared, differences.get(j));
      }
      if (shared.bitLength() == width + 1 && shared.testBit(0)) {
        found.add(shared);
      }
    }
    return found;
  }

  /** In what two messages differ, the check value included. */
  private static byte[] difference(byte[] a, byte[] b) {
    byte[] bytes = new byte[a.length];
    for (int i = 0; i < bytes.length; i++) {
      bytes[i] = (byte) (a[i] ^ b[i]);
    }
    return bytes;
  }

  /** Bytes, the last few in opposite order, as a polynomial over two: first bit, highest power. */
  private static BigInteger polynomial(byte[] bytes, int swapped, boolean isReflected) {
    byte[] bits = bytes.clone();
    for (int i = 0; i < swapped; i++) {
      bits[bits.length - 1 - i] = bytes[bytes.length - swapped + i];
    }
    for (int i = 0; isReflected && i < bits.length; i++) {
      bits[i] = (byte) (Integer.reverse(bits[i]) >>> 24);
    }
    return new BigInteger(1, bits);
  }

  private static BigInteger divisor(BigInteger a, BigInteger b) {
    BigInteger left = a;
    BigInteger right = b;
    while (right.signum() != 0) {
      BigInteger rest = rest(left, right);
      left = right;
      right = rest;
    }
    return left;
  }

  private static BigInteger rest(BigInteger dividend, BigInteger by) {
    BigInteger rest = dividend;
    while (rest.bitLength() >= by.bitLength()) {
      rest = rest.xor(by.shiftLeft(rest.bitLength() - by.bitLength()));
    }
    return rest;
  }

  private static long value(Sample sample, Form form, int width) {
    int place = form.place(sample.length(), width / 8);
    long value = 0;
    for (int i = 0; i < width / 8; i++) {
      int index = form.isLowFirst() ? width / 8 - 1 - i : i;
      value = value << 8 | sample.at(place + index);
    }
    return value;
  }

  // ---- initial value and final exclusive-or ----------------------------------------------------

  /** With the initial value that suits most messages; the usual two are tried first. */
  private Optional<ChecksumFit> complete(Crc.Parameters bare, Form form, List<Sample> alike) {
    int width = bare.width();
    long mask = (1L << width) - 1;
    Set<Long> inits = new LinkedHashSet<>(List.of(0L, mask));
    Sample first = alike.get(0);
    int length = covered(first, form, width).length;
    // Of each length, since requests may be heard that have no check value.
    Map<Integer, Integer> asked = new HashMap<>();
    samples.stream()
        .filter(s -> form.place(s.length(), width / 8) >= 2)
        .filter(s -> covered(s, form, width).length != length)
        .filter(s -> asked.merge(covered(s, form, width).length, 1, Integer::sum) <= FIRST)
        .forEach(other -> initial(bare, form, first, other).ifPresent(inits::add));
    Optional<ChecksumFit> best = Optional.empty();
    for (long init : inits) {
      for (Sample sample : alike.subList(0, FIRST)) {
        long xorOut = begun(bare, init, form, sample) ^ value(sample, form, width);
        Crc crc = new Crc("crc", with(bare, init, xorOut));
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

  private static Crc.Parameters with(Crc.Parameters bare, long init, long xorOut) {
    return new Crc.Parameters(
        bare.width(), bare.poly(), init, bare.reflectIn(), bare.reflectOut(), xorOut);
  }

  /**
   * An initial value that suits two messages of different lengths, as where an address that is not
   * sent stands in front: what a bit of it adds to a check value depends on the length alone, and
   * bits add up. Each column keeps the highest bit that no earlier one has.
   */
  private static OptionalLong initial(Crc.Parameters bare, Form form, Sample a, Sample b) {
    int width = bare.width();
    long nothing = difference(bare, 0, form, a, b);
    long left = nothing ^ value(a, form, width) ^ value(b, form, width);
    long[] adds = new long[width];
    long[] bits = new long[width];
    for (int bit = 0; bit < width; bit++) {
      long add = difference(bare, 1L << bit, form, a, b) ^ nothing;
      long from = 1L << bit;
      for (int high = width - 1; high >= 0 && add != 0; high--) {
        boolean isHeld = (add >> high & 1) != 0;
        if (isHeld && adds[high] == 0) {
          adds[high] = add;
          bits[high] = from;
          break;
        }
        add ^= isHeld ? adds[high] : 0;
        from ^= isHeld ? bits[high] : 0;
      }
    }
    long init = 0;
    for (int high = width - 1; high >= 0; high--) {
      boolean isHeld = (left >> high & 1) != 0;
      left ^= isHeld ? adds[high] : 0;
      init ^= isHeld ? bits[high] : 0;
    }
    return left == 0 ? OptionalLong.of(init) : OptionalLong.empty();
  }

  private static long difference(Crc.Parameters bare, long init, Form form, Sample a, Sample b) {
    return begun(bare, init, form, a) ^ begun(bare, init, form, b);
  }

  private static long begun(Crc.Parameters bare, long init, Form form, Sample sample) {
    return new Crc("crc", with(bare, init, 0)).over(covered(sample, form, bare.width()));
  }

  /** One message goes into the constants; trying all polynomials costs as many bits. */
  private ChecksumFit fit(Crc crc, Form form, List<Sample> passed) {
    int width = crc.parameters().width();
    int cost = 2 * width + 4 + 2 * (samples.size() - passed.size());
    int bits = Math.max(0, passed.size() * width - cost);
    return new ChecksumFit(crc, form, passed, samples.size(), bits);
  }
}
