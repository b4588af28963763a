package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.pack.Facts;
import org.cellherd.protocol.bringup.BringUp;
import org.cellherd.protocol.bringup.ColumnTable;
import org.cellherd.protocol.bringup.HeardBytes;
import org.cellherd.protocol.bringup.Identification;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code cellherd frames}. */
@Command(
    name = "frames",
    mixinStandardHelpOptions = true,
    header = "Finds messages and check value in an unknown board's bytes.",
    description =
        "Looks for the messages in a capture: their bounds, headers, length and check value, "
            + "the bytes that change and what they may mean; writes a first description.")
final class FramesVerb implements Callable<Integer> {

  /** More than this much of a capture adds nothing to what can be found. */
  private static final int MOST_CHUNKS = 20_000;

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

  @Parameters(paramLabel = "CAPTURE", description = "What \"capture\" recorded.")
  private Path source;

  @Override
  public Integer call() {
    if (!id.matches("[a-z0-9]([a-z0-9-]{0,38}[a-z0-9])?")) {
      throw new Stop(ExitCode.USAGE, "--id \"" + id + "\", allowed: a-z, 0-9 and hyphen");
    }
    if (draft != null) {
      FileCause.checkWritable(draft);
    }
    List<HeardBytes> heard = heard();
    if (heard.isEmpty()) {
      throw new Stop(
          ExitCode.NO,
          source
              + ": holds no bytes; is the link right, does the board talk by itself, or must it be"
              + " asked (capture --spec)?");
    }
    Identification found = BringUp.identify(heard);
    if (output.isJson()) {
      output.json(facts(found));
    } else {
      print(found);
    }
    if (draft != null) {
      write(found, draft);
    }
    return found.certainty() == Identification.Certainty.UNKNOWN ? ExitCode.NO : ExitCode.DONE;
  }

  private List<HeardBytes> heard() {
    CaptureFile capture = new CaptureFile(source);
    String line = capture.one(link);
    List<HeardBytes> heard = new ArrayList<>();
    capture
        .read(
            (chunk, at) -> {
              if (chunk.link().equals(line)) {
                heard.add(chunk.asHeard());
              }
              return heard.size() < MOST_CHUNKS;
            })
        .ifPresent(
            cut -> output.err().println(source + ":" + cut + " is not whole and was left out"));
    return heard;
  }

  private void print(Identification found) {
    found.sentences().forEach(output::line);
    for (ColumnTable table : found.tables()) {
      output.line("");
      output.line(table.title());
      output.line(String.format(Locale.ROOT, "  %-8s %-16s %s", "byte", "seen", "may be"));
      for (ColumnTable.Column column : table.columns()) {
        output.line(
            String.format(
                Locale.ROOT,
                "  %-8s %-16s %s",
                column.bytes(),
                column.content(),
                column.meaning()));
      }
    }
    if (!found.wanted().isEmpty()) {
      output.line("");
      output.line("What would settle the rest:");
      found.wanted().forEach(w -> output.line("  " + w));
    }
  }

  private static Facts facts(Identification found) {
    return Facts.of()
        .put("certainty", found.certainty().word())
        .put("checksum", found.checksum().orElse(null))
        .put("sentences", found.sentences())
        .put("wanted", found.wanted())
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

  private static Facts column(ColumnTable.Column column) {
    return Facts.of()
        .put("bytes", column.bytes())
        .put("content", column.content())
        .put("changes", column.changes())
        .put("meaning", column.meaning())
        .build();
  }

  private void write(Identification found, Path file) {
    String text =
        found
            .draft(id)
            .orElseThrow(
                () -> new Stop(ExitCode.NO, "too little is known for a description; see above"));
    if (Files.exists(file)) {
      throw new Stop(ExitCode.USAGE, file + ": is there already, choose a new file");
    }
    try {
      Files.writeString(file, text, StandardCharsets.UTF_8);
    } catch (IOException cannot) {
      throw FileCause.unwritable(file, cannot);
    }
    output.err().println("written: " + file + "; next: cellherd spec test " + file + " " + source);
  }
}
