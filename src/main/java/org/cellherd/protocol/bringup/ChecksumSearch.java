package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;

/** Tries every known check value at every usual place over samples of messages. */
final class ChecksumSearch {
  private static final int MOST_FROM = 6;
  private static final int MOST_AFTER = 2;

  /**
   * One message more or less does not decide: a ones' complement that leaves out a first byte 01
   * equals the far more usual two's complement that covers it.
   */
  private static final int ONE_MESSAGE_BITS = 12;

  /** After so many messages most rules have failed so often that the rest need not be asked. */
  private static final int EARLY = 12;

  /** Samples looked at; more tell nothing new. */
  private static final int MOST_SAMPLES = 80;

  private final List<Sample> samples;
  private final boolean isHexLine;
  private int combinations;

  ChecksumSearch(Cut cut) {
    List<Sample> all = cut.samples();
    this.samples = all.size() > MOST_SAMPLES ? all.subList(0, MOST_SAMPLES) : all;
    this.isHexLine = cut.isHex();
  }

  /** All fits, the one that rules out most chance first. */
  List<ChecksumFit> fits() {
    List<ChecksumFit> fits = new ArrayList<>();
    combinations = 0;
    for (Checksum checksum : Checksums.all()) {
      for (Form form : forms(checksum)) {
        combinations++;
        List<Sample> passed = passed(checksum, form);
        if (passed.size() >= 2 && passed.size() * 10 >= samples.size() * 6) {
          fits.add(new ChecksumFit(checksum, form, passed, samples.size(), 0));
        }
      }
    }
    List<ChecksumFit> weighed = fits.stream().map(this::weighed).filter(f -> f.bits() > 0).toList();
    int best = weighed.stream().mapToInt(ChecksumFit::bits).max().orElse(0);
    return weighed.stream()
        .sorted(
            Comparator.comparing((ChecksumFit f) -> f.bits() + ONE_MESSAGE_BITS < best)
                .thenComparing(f -> f.checksum().word().endsWith("-ones"))
                .thenComparing(Comparator.comparingInt(ChecksumFit::bits).reversed())
                .thenComparing(f -> f.form().overCharacters())
                .thenComparing(f -> f.form().from()))
        .toList();
  }

  /** Each different message that passes rules out one in 2^width; having tried many costs. */
  private ChecksumFit weighed(ChecksumFit fit) {
    Set<Sample> different = new HashSet<>(fit.passed());
    int missed = fit.tried() - fit.passed().size();
    int bits = different.size() * 8 * fit.checksum().bytes();
    int cost = 32 - Integer.numberOfLeadingZeros(combinations) + 2 * missed;
    return new ChecksumFit(
        fit.checksum(), fit.form(), fit.passed(), fit.tried(), Math.max(0, bits - cost));
  }

  private List<Form> forms(Checksum checksum) {
    List<Form> forms = new ArrayList<>();
    for (int from = 0; from <= MOST_FROM; from++) {
      for (int after = 0; after <= (isHexLine ? 0 : MOST_AFTER); after++) {
        for (int variant = 0; variant < 8; variant++) {
          Form form =
              new Form(from, after, (variant & 1) != 0, (variant & 2) != 0, (variant & 4) != 0);
          boolean isSame = form.isLowFirst() && checksum.bytes() == 1;
          boolean isPossible =
              isHexLine ? !form.isHex() : !form.overCharacters() && isEndConstant(after);
          if (!isSame && isPossible) {
            forms.add(form);
          }
        }
      }
    }
    return forms;
  }

  /** What stands behind a check value is an end mark: nearly always the same. */
  private boolean isEndConstant(int after) {
    if (after == 0) {
      return true;
    }
    Set<Integer> ends = new HashSet<>();
    for (Sample sample : samples) {
      if (sample.length() > after) {
        int end = 0;
        for (int i = 0; i < after; i++) {
          end = end << 8 | sample.at(sample.length() - 1 - i);
        }
        ends.add(end);
      }
    }
    return ends.size() <= 1 + samples.size() / 4;
  }

  private List<Sample> passed(Checksum checksum, Form form) {
    List<Sample> passed = new ArrayList<>();
    int left = samples.size();
    for (Sample sample : samples) {
      left--;
      if (fits(checksum, form, sample)) {
        passed.add(sample);
      } else if (isHopeless(passed.size(), left)) {
        return List.of();
      }
    }
    return passed;
  }

  /** A check value that is right passes most messages, so it shows early. */
  private boolean isHopeless(int passed, int left) {
    int tried = samples.size() - left;
    return (passed + left) * 10 < samples.size() * 6 || (tried >= EARLY && passed * 4 < EARLY);
  }

  static boolean fits(Checksum checksum, Form form, Sample sample) {
    int place = sample.length() - form.after() - form.bytesOf(checksum);
    if (place - form.from() < 2) {
      return false;
    }
    long value =
        form.overCharacters()
            ? checksum.over(sample.characters(form.from(), place))
            : checksum.over(sample.bytes(), form.from(), place);
    return value == found(checksum, form, sample, place);
  }

  /** The value that stands there, or -1 where hex digits are none. */
  private static long found(Checksum checksum, Form form, Sample sample, int place) {
    long value = 0;
    int bytes = checksum.bytes();
    for (int i = 0; i < bytes; i++) {
      int index = form.isLowFirst() ? bytes - 1 - i : i;
      int b = form.isHex() ? hexPair(sample, place + 2 * index) : sample.at(place + index);
      if (b < 0) {
        return -1;
      }
      value = value << 8 | b;
    }
    return value;
  }

  private static int hexPair(Sample sample, int at) {
    int high = HexLine.digit(sample.at(at));
    int low = HexLine.digit(sample.at(at + 1));
    return high < 0 || low < 0 ? -1 : high << 4 | low;
  }
}
