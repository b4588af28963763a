package org.cellherd.app.campaign;

import java.io.PrintStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.app.campaign.books.AlertTruth;
import org.cellherd.app.campaign.books.Books;
import org.cellherd.app.campaign.books.Vitals;

/**
 * How a campaign came out.
 *
 * @param books readings and events
 * @param truth what alerts said
 * @param complaints of what was answered wrongly
 * @param vitals what the process held, where there was one
 * @param audits how often and over how many readings the books were balanced before damage
 */
record CampaignOutcome(
    Books books,
    AlertTruth truth,
    List<String> complaints,
    Optional<Vitals> vitals,
    String audits) {

  private static final int MOST_LINES = 25;

  CampaignOutcome {
    complaints = List.copyOf(complaints);
  }

  /** All that is wrong. */
  List<String> faults() {
    List<String> all = new ArrayList<>(books.faults());
    truth.counts().forEach((kind, count) -> all.add("alert read " + count + " times: " + kind));
    all.addAll(complaints);
    vitals.ifPresent(v -> all.addAll(v.faults(books.chronicle())));
    return all;
  }

  void print(PrintStream out) {
    books.print(out);
    out.printf(
        "alerts:      %,d texts read, %,d of them false%n",
        truth.read(), truth.counts().values().stream().mapToInt(n -> n).sum());
    out.println("audits:      " + audits);
    truth.examples().forEach((kind, text) -> out.println("  " + kind + "; such as " + text));
    vitals.ifPresent(v -> v.print(out, books.chronicle()));
    Map<String, Integer> said = new LinkedHashMap<>();
    complaints.forEach(c -> said.merge(c, 1, Integer::sum));
    said.forEach((c, n) -> out.println("complaint:   " + (n > 1 ? n + " times: " : "") + c));
    List<String> wrong = books.faults();
    wrong.stream().limit(MOST_LINES).forEach(f -> out.println("wrong:       " + f));
    out.println(
        faults().isEmpty()
            ? "The books balance."
            : "THE BOOKS DO NOT BALANCE: " + faults().size() + " faults.");
  }
}
