package org.cellherd;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.alert.rule.Rule;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.Parameter;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;

/** The reference's tables, made from the rules and findings themselves. */
final class ReferenceTables {
  private static final String RULES =
      "| at worst | rule | what it reports | held for, gone for, repeated |\n|---|---|---|---|\n";
  private static final String NUMBERS =
      "| rule | key | default | allowed | meaning |\n|---|---|---|---|---|\n";

  private static final String FINDINGS =
      "| finding | in reports | how it is got |\n|---|---|---|\n";

  /** What every rule has, told in the first table. */
  private static final List<String> COMMON = List.of("on_delay_s", "off_delay_s", "repeat_h");

  private ReferenceTables() {}

  /** A text with its tables as they ought to be. */
  static String in(String text) {
    return with(with(with(text, RULES, rules()), NUMBERS, numbers()), FINDINGS, findings());
  }

  private static String with(String text, String head, String rows) {
    int from = text.indexOf(head);
    if (from < 0) {
      throw new IllegalStateException("no table begins with " + head);
    }
    int end = text.indexOf("\n\n", from);
    int to = end < 0 ? text.length() : end + 1;
    return text.substring(0, from) + head + rows + text.substring(to);
  }

  private static RuleSettings settings(Rule.Kind kind, Chemistry chemistry) {
    return kind.defaults().apply(PackPlan.of("p", chemistry, 4, 1, 100_000));
  }

  private static String rules() {
    return Rules.all().stream()
        .sorted(Comparator.comparing(kind -> settings(kind, Chemistry.LFP).priority()))
        .map(ReferenceTables::rule)
        .collect(Collectors.joining());
  }

  private static String rule(Rule.Kind kind) {
    RuleSettings set = settings(kind, Chemistry.LFP);
    double repeat = set.number("repeat_h");
    String delays =
        plain(set.number("on_delay_s"))
            + " s, "
            + plain(set.number("off_delay_s"))
            + " s, "
            + (repeat == 0 ? "never" : plain(repeat) + " h");
    return row(
        List.of(set.priority().word(), "`" + kind.id().word() + "`", kind.meaning(), delays));
  }

  private static String numbers() {
    return Rules.all().stream().flatMap(ReferenceTables::numbers).collect(Collectors.joining());
  }

  private static Stream<String> numbers(Rule.Kind kind) {
    RuleSettings set = settings(kind, Chemistry.LFP);
    return set.parameters().stream()
        .filter(p -> !COMMON.contains(p.key()))
        .map(
            p ->
                row(
                    List.of(
                        "`" + set.table() + "`",
                        "`" + p.key() + "`",
                        defaults(kind, p),
                        plain(p.low()) + " to " + plain(p.high()),
                        p.meaning())));
  }

  /** One default for all chemistries, or one for each. */
  private static String defaults(Rule.Kind kind, Parameter of) {
    List<String> each =
        Arrays.stream(Chemistry.values())
            .map(c -> plain(settings(kind, c).number(of.key())) + " " + c.word())
            .toList();
    boolean isOne = each.stream().map(text -> text.split(" ")[0]).distinct().count() == 1;
    return isOne ? plain(of.value()) : String.join(", ", each);
  }

  private static String findings() {
    return Arrays.stream(FindingName.values())
        .map(name -> row(List.of("`" + name.word() + "`", name.title(), name.method())))
        .collect(Collectors.joining());
  }

  private static String row(List<String> cells) {
    return "| " + String.join(" | ", cells) + " |\n";
  }

  private static String plain(double value) {
    return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
  }
}
