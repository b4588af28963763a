package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.pack.Facts;
import org.cellherd.protocol.bringup.BringUp;
import org.cellherd.protocol.bringup.Identification;
import org.cellherd.protocol.bringup.Known;
import org.cellherd.protocol.bringup.Recording;
import org.cellherd.report.TextTable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "frames",
    mixinStandardHelpOptions = true,
    header = "Finds messages and check value in an unknown board's bytes.",
    description =
        "Looks for the messages in a capture: their bounds, headers, length and check value, "
            + "the bytes that change and what they may mean; writes a first description.")
final class FramesVerb implements Callable<Integer> {

  @Mixin private AnswerOutput output;

  @Option(names = "--draft", paramLabel = "FILE", description = "Write a first description here.")
  private @Nullable Path draft;

  @Option(
      names = "--id",
      paramLabel = "ID",
      defaultValue = "my-board",
      description = "The board's id in it.")
  private String id;

  @Option(
      names = "--link",
      paramLabel = "LINK",
      description = "Which line of the capture (default: its only one).")
  private @Nullable String link;

  @Option(
      names = "--known",
      paramLabel = "VALUES",
      description =
          "Values that a meter showed, such as \"cell 1 = 3.312 V, pack = 53.1 V, current = -4.2 A"
              + " at 35 s\" (charging is positive; seconds of the capture, default: throughout).")
  private @Nullable String known;

  @Parameters(paramLabel = "CAPTURE", description = "What \"capture\" recorded.")
  private Path source;

  @Override
  public Integer call() {
    if (!id.matches("[a-z0-9]([a-z0-9-]{0,38}[a-z0-9])?")) {
      throw Stop.usage("--id \"" + id + "\", allowed: a-z, 0-9 and hyphen");
    }
    if (draft != null) {
      FileCause.checkWritable(draft);
    }
    Recording heard = heard();
    if (heard.isEmpty()) {
      throw new Stop(
          ExitCode.NO,
          source
              + ": holds no bytes; is the link right, does the board talk by itself, or must it be"
              + " asked (capture --spec)?");
    }
    Identification found = BringUp.identify(heard, known());
    List<String> trial = draft == null ? List.of() : trial(found, heard);
    if (output.isJson()) {
      output.json(facts(found, trial));
    } else {
      print(found, trial);
    }
    if (draft != null) {
      write(found, heard, draft);
    }
    return found.certainty() == Identification.Certainty.UNKNOWN ? ExitCode.NO : ExitCode.DONE;
  }

  private List<String> trial(Identification found, Recording heard) {
    return found
        .draft(id)
        .map(text -> new DraftTrial(heard, found.address()).lines(text))
        .orElse(List.of());
  }

  private List<Known> known() {
    try {
      return known == null ? List.of() : Known.parse(known);
    } catch (IllegalArgumentException wrong) {
      throw Stop.usage("--known " + wrong.getMessage());
    }
  }

  private Recording heard() {
    CaptureFile capture = new CaptureFile(source);
    Recording heard = new Recording();
    capture
        .readOne(link, (chunk, at) -> heard.add(chunk.atMs(), chunk.isSent(), chunk.bytes()))
        .ifPresent(
            cut -> output.err().println(source + ":" + cut + " is not whole and was left out"));
    return heard;
  }

  private void print(Identification found, List<String> trial) {
    found.sentences().forEach(output::line);
    for (Identification.Table table : found.tables()) {
      output.line("");
      output.line(table.title());
      TextTable rows = new TextTable(2).row("byte", "seen", "may be");
      table.columns().forEach(c -> rows.row(c.bytes(), c.content(), c.meaning()));
      rows.lines().forEach(output::line);
    }
    if (!trial.isEmpty()) {
      output.line("");
      trial.forEach(output::line);
    }
    if (!found.wanted().isEmpty()) {
      output.line("");
      output.line("What is still to be settled:");
      found.wanted().forEach(w -> output.line("  " + w));
    }
  }

  private static Facts facts(Identification found, List<String> trial) {
    return Facts.of()
        .put("certainty", found.certainty().word())
        .put("checksum", found.checksum().orElse(null))
        .put("sentences", found.sentences())
        .put("wanted", found.wanted())
        .put("trial", trial)
        .put(
            "tables",
            found.tables().stream()
                .map(
                    t ->
                        Facts.of()
                            .put("title", t.title())
                            .put("columns", t.columns().stream().map(FramesVerb::column).toList())
                            .build())
                .toList())
        .build();
  }

  private static Facts column(Identification.Table.Column column) {
    return Facts.of()
        .put("bytes", column.bytes())
        .put("content", column.content())
        .put("changes", column.changes())
        .put("meaning", column.meaning())
        .build();
  }

  private void write(Identification found, Recording heard, Path file) {
    String text =
        found
            .draft(id)
            .map(draft -> DraftPatience.stated(draft, found.address(), heard))
            .orElseThrow(
                () -> new Stop(ExitCode.NO, "too little is known for a description; see above"));
    WholeFile.refuseTaken(file);
    WholeFile.write(file, text);
    output.err().println("written: " + file + "; next: cellherd spec test " + file + " " + source);
  }
}
