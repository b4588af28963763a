package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

@Command(
    name = "balance",
    mixinStandardHelpOptions = true,
    header = "Which cell is ahead by how many Ah; how long until balanced.",
    description =
        "With bounds, the state of the balance and the reasons for it. With --to, as it was then.")
final class BalanceVerb extends FindingVerb {

  BalanceVerb() {
    super(FindingName.BALANCE, Told.NEWEST, "The log says nothing about balance yet.");
  }
}
