package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/**
 * A number and what its errors leave open, the one way in which people read it: {@code 0.65 (0.57
 * to 0.73)}, {@code 0.57 to 0.73}, {@code at least 0.57}, {@code at most 0.73}, {@code not known}.
 *
 * @param low null where it is not known, as are the others
 */
record Bounds(@Nullable Number low, @Nullable Number mid, @Nullable Number high) {

  /** A key of an interval: {@code low_ah}, {@code ah_low}, {@code soc_low_pct}. */
  private static final Pattern END = Pattern.compile("(?:(.+)_)?(low|mid|high)(?:_(.+))?");

  private static final Set<String> NAMES = Set.of("low", "mid", "high");

  /**
   * The keys of each interval of some facts as one fact of {@code low}, {@code mid}, {@code high}.
   */
  static Facts joined(Facts facts) {
    List<String> keys = facts.list().stream().map(Fact::name).toList();
    List<Fact> joined = new ArrayList<>();
    for (Fact fact : facts.list()) {
      String base = base(fact.name());
      if (!isInterval(base, keys)) {
        joined.add(fact);
      } else if (joined.stream().noneMatch(f -> f.name().equals(base))) {
        joined.add(new Fact(base, interval(base, facts)));
      }
    }
    return new Facts(joined);
  }

  private static String base(String key) {
    Matcher end = END.matcher(key);
    if (!end.matches() || NAMES.contains(key)) {
      return key;
    }
    return Stream.of(1, 3)
        .flatMap(part -> Stream.ofNullable(end.group(part)))
        .collect(Collectors.joining("_"));
  }

  /** Which number of an interval a key is of: one without a word for it is the middle. */
  private static String end(String key) {
    Matcher end = END.matcher(key);
    return end.matches() ? end.group(2) : "mid";
  }

  private static boolean isInterval(String base, List<String> keys) {
    return keys.stream()
        .filter(key -> base(key).equals(base))
        .map(Bounds::end)
        .toList()
        .containsAll(List.of("low", "high"));
  }

  private static Facts interval(String base, Facts of) {
    return new Facts(
        Stream.of("low", "mid", "high")
            .map(
                end ->
                    new Fact(
                        end,
                        of.list().stream()
                            .filter(f -> base(f.name()).equals(base) && end(f.name()).equals(end))
                            .flatMap(f -> Stream.ofNullable(f.value()))
                            .findFirst()
                            .orElse(null)))
            .toList());
  }

  /** Of a value that is an interval. */
  static Optional<Bounds> of(@Nullable Object value) {
    return value instanceof Facts facts
            && !facts.list().isEmpty()
            && facts.list().stream().allMatch(fact -> NAMES.contains(fact.name()))
        ? Optional.of(new Bounds(number(facts, "low"), number(facts, "mid"), number(facts, "high")))
        : Optional.empty();
  }

  private static @Nullable Number number(Facts facts, String end) {
    return facts.get(end).orElse(null) instanceof Number n ? n : null;
  }

  /** Those of the three numbers that are known. */
  Stream<Number> known() {
    return Stream.of(Optional.ofNullable(low), Optional.ofNullable(mid), Optional.ofNullable(high))
        .flatMap(Optional::stream);
  }

  /** As people read it; the unit stands behind the first number that says how much it is. */
  String words(Function<Number, String> number, Function<String, String> measured) {
    if (low == null || high == null) {
      return open(n -> measured.apply(number.apply(n)));
    }
    String span = number.apply(low) + " to " + number.apply(high);
    if (mid == null) {
      return low.equals(high) ? measured.apply(number.apply(low)) : measured.apply(span);
    }
    String middle = measured.apply(number.apply(mid));
    return low.equals(high) ? middle : middle + " (" + span + ")";
  }

  private String open(Function<Number, String> measured) {
    if (low != null) {
      return "at least " + measured.apply(low);
    }
    if (high != null) {
      return "at most " + measured.apply(high);
    }
    return mid == null ? FactWords.UNKNOWN : "about " + measured.apply(mid);
  }
}
