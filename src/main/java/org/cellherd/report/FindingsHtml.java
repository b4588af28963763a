package org.cellherd.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Facts;
import org.cellherd.report.plot.Tracks;
import org.cellherd.report.scene.Markup;

/** Findings of a report, each kind under its heading, with how it was got. */
final class FindingsHtml {

  /** Of so many of a kind all numbers are told; of more only those of the newest. */
  private static final int MOST_DETAILED = 3;

  private static final String NUMBERS = "The numbers, and how they were got";

  private final ReportInput input;
  private final FactsHtml facts;

  FindingsHtml(ReportInput input, FactsHtml facts) {
    this.input = input;
    this.facts = facts;
  }

  /** Kinds of which something was found, in their order. */
  static List<FindingName> kinds(ReportInput input) {
    List<FindingName> kinds = new ArrayList<>();
    for (FindingName name : FindingName.values()) {
      if (!of(input, name).isEmpty()) {
        kinds.add(name);
      }
    }
    return kinds;
  }

  static List<Finding> of(ReportInput input, FindingName name) {
    return input.evidence().findings().stream().filter(f -> f.name() == name).toList();
  }

  String html() {
    StringBuilder out = new StringBuilder();
    for (FindingName name : kinds(input)) {
      List<Finding> found = of(input, name);
      String how = "<p class=\"soft\">How this was got: " + Markup.text(name.method()) + "</p>\n";
      out.append("<h2 id=\"found-" + name.word() + "\">" + name.title() + "</h2>\n")
          .append(name == FindingName.ENERGY ? energy(found, how) : findings(found, name, how));
    }
    return out.toString();
  }

  /** What stands holds at its end; what happened took its time. */
  static String when(Finding finding, Made made) {
    return finding.name().isState()
        ? made.minute(finding.toMs())
        : made.span(finding.fromMs(), finding.toMs());
  }

  private String energy(List<Finding> found, String how) {
    Facts beside = EnergyTable.beside(found.get(found.size() - 1));
    return energy(found, input).html()
        + FactsHtml.folded(FindingName.ENERGY.title(), NUMBERS, facts.of(beside) + how);
  }

  static EnergyTable energy(List<Finding> found, ReportInput input) {
    Tracks tracks = input.tracks();
    return EnergyTable.of(found, input.made().zone(), tracks.fromMs(), tracks.toMs());
  }

  private String findings(List<Finding> found, FindingName name, String how) {
    int size = found.size();
    List<Finding> told =
        name.isState() ? found.subList(size - 1, size) : newestOfEachSentence(found);
    int plain = told.size() <= MOST_DETAILED ? 0 : told.size() - 1;
    StringBuilder out = new StringBuilder();
    if (plain > 0) {
      out.append("<ul class=\"earlier\">\n");
      told.subList(0, plain).forEach(f -> out.append("<li>" + sentence(f) + "</li>\n"));
      out.append("</ul>\n");
    }
    for (int i = plain; i < told.size(); i++) {
      String numbers = facts.of(FactWords.unsaid(told.get(i))) + (i == told.size() - 1 ? how : "");
      out.append("<p>" + sentence(told.get(i)) + "</p>\n")
          .append(FactsHtml.folded(name.title(), NUMBERS, numbers));
    }
    return out.toString();
  }

  /**
   * A doubt that stands for long is kept each hour: it is told once. Charges, tests and rests are
   * each told, also where they say the same.
   */
  static List<Finding> newestOfEachSentence(List<Finding> found) {
    Map<String, Finding> newest = new LinkedHashMap<>();
    for (Finding finding : found) {
      boolean isDoubt = finding.name() == FindingName.PLAUSIBILITY;
      String one = finding.sentence() + (isDoubt ? "" : finding.fromMs());
      newest.remove(one);
      newest.put(one, finding);
    }
    return List.copyOf(newest.values());
  }

  private String sentence(Finding finding) {
    return "%s <span class=\"soft\">%s</span>"
        .formatted(Markup.text(finding.sentence()), Markup.text(when(finding, input.made())));
  }
}
