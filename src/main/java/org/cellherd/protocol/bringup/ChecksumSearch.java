package org.cellherd.protocol.bringup;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.checksum.Sum;

/**
 * Tries every known check value at every usual place over samples of messages, then sums that begin
 * with a constant.
 */
final class ChecksumSearch {
  private static final int MOST_FROM = 6;
  private static final int MOST_AFTER = 2;

  /** Bytes among which a check value that stands in front of the data is looked for. */
  private static final int LAST_FRONT = 6;

  /**
   * One message more or less does not decide: a ones' complement that leaves out a first byte 01
   * equals the far more usual two's complement that covers it.
   */
  private static final int ONE_MESSAGE_BITS = 12;

  /** After so many messages most rules have failed so often that the rest need not be asked. */
  private static final int EARLY = 12;

  /** Check values in front of so many different messages are not all the same. */
  private static final int FEWEST_VALUES = 8;

  /** Samples looked at; more tell nothing new. */
  private static final int MOST_SAMPLES = 80;

  private final List<Sample> samples;
  private final boolean isHexLine;
  private final boolean isMarked;

  /** Whether so many bytes at the end are nearly always the same. */
  private final boolean[] isEndConstant = new boolean[MOST_AFTER + 1];

  private int combinations;

  ChecksumSearch(Cut cut) {
    List<Sample> all = cut.samples();
    this.samples = drawn(all);
    this.isHexLine = cut.isHex();
    this.isMarked = cut.escape().isPresent();
    for (int after = 0; after <= MOST_AFTER; after++) {
      isEndConstant[after] = isEndConstant(after);
    }
  }

  /** Drawn, not each n-th: a board that says n things in turn would show one of them only. */
  private static List<Sample> drawn(List<Sample> all) {
    if (all.size() <= MOST_SAMPLES) {
      return all;
    }
    List<Sample> mixed = new ArrayList<>(all);
    Collections.shuffle(mixed, new Random(MOST_SAMPLES));
    return List.copyOf(mixed.subList(0, MOST_SAMPLES));
  }

  /** All fits, the one that rules out most chance first. */
  List<ChecksumFit> fits() {
    List<ChecksumFit> known = ranked(tried(Checksums.all()));
    return known.isEmpty() ? ranked(seeded()) : known;
  }

  private List<ChecksumFit> tried(Collection<Checksum> checksums) {
    List<ChecksumFit> fits = new ArrayList<>();
    combinations = 0;
    for (Checksum checksum : checksums) {
      for (Form form : forms(checksum)) {
        combinations++;
        add(fits, checksum, form);
      }
    }
    return fits;
  }

  private void add(List<ChecksumFit> fits, Checksum checksum, Form form) {
    List<Sample> passed = passed(checksum, form);
    boolean isFew = passed.size() < 2 || passed.size() * 10 < samples.size() * 6;
    if (!isFew && (!form.isInFront() || doesDiffer(checksum, form, passed))) {
      fits.add(new ChecksumFit(checksum, form, passed, samples.size(), 0));
    }
  }

  /**
   * A constant in front may fit a CRC that ends the message by chance; what checks different
   * messages is itself different, in a byte too.
   */
  private static boolean doesDiffer(Checksum checksum, Form form, List<Sample> passed) {
    long messages = passed.stream().distinct().count();
    long values = passed.stream().mapToLong(s -> found(checksum, form, s)).distinct().count();
    return values >= Math.min(FEWEST_VALUES, messages / 2);
  }

  /** Sums that begin with the constant which most messages agree on. */
  private List<ChecksumFit> seeded() {
    List<ChecksumFit> fits = new ArrayList<>();
    combinations = 0;
    for (Sum sum : Sum.values()) {
      for (Form form : forms(sum)) {
        combinations++;
        Map<Long, Integer> seeds = new HashMap<>();
        int tried = 0;
        int most = 0;
        for (Sample sample : samples) {
          if (tried++ >= EARLY && most * 4 < EARLY) {
            break;
          }
          if (isLongEnough(sum, form, sample)) {
            long seed = sum.seedFor(found(sum, form, sample), computed(sum, form, sample));
            most = Math.max(most, seeds.merge(seed, 1, Integer::sum));
          }
        }
        seeds.entrySet().stream()
            .max(Map.Entry.comparingByValue())
            .ifPresent(usual -> add(fits, new Sum.Seeded(sum, usual.getKey()), form));
      }
    }
    return fits;
  }

  private List<ChecksumFit> ranked(List<ChecksumFit> fits) {
    List<ChecksumFit> weighed = fits.stream().map(this::weighed).filter(f -> f.bits() > 0).toList();
    int best = weighed.stream().mapToInt(ChecksumFit::bits).max().orElse(0);
    return weighed.stream()
        .sorted(
            Comparator.comparing((ChecksumFit f) -> f.bits() + ONE_MESSAGE_BITS < best)
                .thenComparing(f -> f.checksum().word().endsWith("-ones"))
                .thenComparing(f -> f.form().isInFront())
                .thenComparing(Comparator.comparingInt(ChecksumFit::bits).reversed())
                .thenComparing(f -> f.form().overCharacters())
                .thenComparing(f -> f.form().from()))
        .toList();
  }

  /**
   * Each different message that passes rules out one in 2^width; having tried many costs. What is
   * not covered makes no message different.
   */
  private ChecksumFit weighed(ChecksumFit fit) {
    Set<ByteBuffer> different = new HashSet<>();
    fit.passed()
        .forEach(s -> different.add(ByteBuffer.wrap(covered(fit.checksum(), fit.form(), s))));
    int missed = fit.tried() - fit.passed().size();
    int free = fit.checksum() instanceof Sum.Seeded ? 1 : 0;
    int bits = (different.size() - free) * 8 * fit.checksum().bytes();
    int cost = 32 - Integer.numberOfLeadingZeros(combinations) + 2 * missed;
    return new ChecksumFit(
        fit.checksum(), fit.form(), fit.passed(), fit.tried(), Math.max(0, bits - cost));
  }

  private List<Form> forms(Checksum checksum) {
    List<Form> forms = new ArrayList<>();
    for (int from = 0; from <= MOST_FROM; from++) {
      // To an exclusive-or two equal marks cancel, so that the end mark itself looks like one.
      for (int after = isMarked ? 1 : 0; after <= (isHexLine ? 0 : MOST_AFTER); after++) {
        for (int variant = 0; variant < 8; variant++) {
          Form form =
              new Form(
                  from,
                  Form.AT_END,
                  after,
                  (variant & 1) != 0,
                  (variant & 2) != 0,
                  (variant & 4) != 0);
          boolean isSame = form.isLowFirst() && checksum.bytes() == 1;
          boolean isPossible =
              isHexLine
                  ? !form.isHex()
                  : (!form.overCharacters() || isMarked) && isEndConstant[after];
          if (!isSame && isPossible) {
            forms.add(form);
          }
        }
      }
    }
    if (!isHexLine && !isMarked) {
      inFront(checksum, forms);
    }
    return forms;
  }

  /** In front of the data, over what follows it, or over all but itself; it must change at all. */
  private void inFront(Checksum checksum, List<Form> forms) {
    int bytes = checksum.bytes();
    for (int front = 1; front <= LAST_FRONT; front++) {
      if (!Structure.isConstant(samples, front) && bytes <= 2) {
        for (int from = 0; from <= front + bytes; from += from == front - 1 ? bytes + 1 : 1) {
          forms.add(Form.inFront(from, front, false));
          if (bytes > 1) {
            forms.add(Form.inFront(from, front, true));
          }
        }
      }
    }
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

  static boolean fits(ChecksumFit fit, Sample sample) {
    return fits(fit.checksum(), fit.form(), sample);
  }

  static boolean fits(Checksum checksum, Form form, Sample sample) {
    return isLongEnough(checksum, form, sample)
        && computed(checksum, form, sample) == found(checksum, form, sample);
  }

  private static boolean isLongEnough(Checksum checksum, Form form, Sample sample) {
    int width = form.bytesOf(checksum);
    int place = form.place(sample.length(), width);
    return form.isInFront() ? sample.length() >= place + width + 2 : place - form.from() >= 2;
  }

  private static long computed(Checksum checksum, Form form, Sample sample) {
    int place = form.place(sample.length(), form.bytesOf(checksum));
    if (form.isInFront() || form.overCharacters()) {
      byte[] covered = covered(checksum, form, sample);
      return checksum.over(covered, 0, covered.length);
    }
    return checksum.over(sample.bytes(), form.from(), place);
  }

  private static byte[] covered(Checksum checksum, Form form, Sample sample) {
    int width = form.bytesOf(checksum);
    int place = form.place(sample.length(), width);
    if (form.overCharacters()) {
      return sample.characters(form.from(), place);
    }
    byte[] front = Arrays.copyOfRange(sample.bytes(), form.from(), Math.max(form.from(), place));
    if (!form.isInFront()) {
      return front;
    }
    int behind = Math.max(form.from(), place + width);
    int rest = sample.length() - behind;
    byte[] others = Arrays.copyOf(front, front.length + rest);
    System.arraycopy(sample.bytes(), behind, others, front.length, rest);
    return others;
  }

  /** The value that stands there, or -1 where hex digits are none. */
  private static long found(Checksum checksum, Form form, Sample sample) {
    int place = form.place(sample.length(), form.bytesOf(checksum));
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
