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

/** Finds the byte near the beginning that tells kinds of message apart. */
final class KindCode {
  static final int LAST_PLACE = 7;
  static final int MOST_KINDS = 16;

  /** Noise breaks one turn in seven at most. */
  static final int NEARLY_ALWAYS = 85;

  /** So many rounds of pages are needed to tell them from chance. */
  private static final int FEWEST_TURNS = 3;

  private KindCode() {}

  /**
   * The first byte that differs, if it tells length or request of the message; else the first that
   * takes turns with itself, as the number of a page does.
   */
  static OptionalInt find(List<Sample> samples, Optional<LengthFit> length, int trailer) {
    int shortest = samples.stream().mapToInt(Sample::length).min().orElse(0) - trailer;
    boolean isFirst = true;
    boolean isByLength = takesTurns(samples, Sample::length);
    // A byte of data at least stands behind a code.
    for (int at = 0; at <= LAST_PLACE && at < shortest - 1; at++) {
      int place = at;
      boolean isLength =
          length.filter(l -> place >= l.at() && place < l.at() + l.bytes()).isPresent();
      if (isData(samples, at)) {
        return OptionalInt.empty();
      }
      if (!isLength && !Structure.isConstant(samples, at)) {
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

  static boolean takesTurns(List<Sample> samples, ToIntFunction<Sample> mark) {
    return takesTurns(samples, mark, NEARLY_ALWAYS);
  }

  /** Few values, each followed by the same other one in some percent: as pages come. */
  static boolean takesTurns(List<Sample> samples, ToIntFunction<Sample> mark, int percent) {
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
    Map<Integer, Map<String, Integer>> shapes = new TreeMap<>();
    for (Sample sample : samples) {
      String shape = sample.length() + "/" + HexFormat.of().formatHex(sample.request());
      shapes.computeIfAbsent(sample.at(at), k -> new TreeMap<>()).merge(shape, 1, Integer::sum);
    }
    boolean isAgain =
        shapes.values().stream().allMatch(c -> c.values().stream().mapToInt(n -> n).sum() >= 2);
    shapes.values().forEach(KindCode::withoutRare);
    Set<String> all = new HashSet<>();
    shapes.values().forEach(s -> all.addAll(s.keySet()));
    // Several pages may have one code, but no shape has two, unless the codes come in rounds.
    int each = shapes.values().stream().mapToInt(Map::size).sum();
    boolean isRound = all.size() > 1 && each == shapes.size() && comesInRounds(samples, at);
    return shapes.size() <= MOST_KINDS
        && !isCount(samples, at)
        && isAgain
        && (all.size() == each || isRound);
  }

  /** A message that lost a byte and passes a weak check value has the length of another kind. */
  static void withoutRare(Map<?, Integer> counts) {
    int all = counts.values().stream().mapToInt(n -> n).sum();
    counts.values().removeIf(n -> n <= Stretch.fewOf(all));
  }

  /**
   * True when values follow each other in turn, each so many times in a row, but for what was lost:
   * pages of one code between messages of others. Data that move slowly keep no such time.
   */
  private static boolean comesInRounds(List<Sample> samples, int at) {
    List<Sample> first = new ArrayList<>();
    Map<Integer, Map<Integer, Integer>> runs = new TreeMap<>();
    int run = 0;
    for (int i = 0; i < samples.size(); i++) {
      Sample sample = samples.get(i);
      if (i == 0 || sample.at(at) != samples.get(i - 1).at(at)) {
        first.add(sample);
        run = 0;
      }
      run++;
      if (i + 1 == samples.size() || sample.at(at) != samples.get(i + 1).at(at)) {
        runs.computeIfAbsent(sample.at(at), k -> new TreeMap<>()).merge(run, 1, Integer::sum);
      }
    }
    return takesTurns(first, s -> s.at(at))
        && runs.values().stream().allMatch(KindCode::isOfOneLength);
  }

  /** Half of the runs at least are the usual one. */
  private static boolean isOfOneLength(Map<Integer, Integer> runs) {
    int all = runs.values().stream().mapToInt(n -> n).sum();
    return runs.values().stream().anyMatch(n -> 2 * n >= all);
  }

  /** A number with which the length grows evenly counts something: cells, mostly. */
  static boolean isCount(List<Sample> samples, int at) {
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
}
