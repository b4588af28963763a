package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.OptionalLong;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.Worded;
import org.cellherd.report.HtmlReport;
import org.cellherd.report.Made;
import org.cellherd.report.ReportInput;
import org.cellherd.report.TextReport;
import org.cellherd.report.Titles;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;
import org.cellherd.store.LogFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.TypeConversionException;

@Command(
    name = "report",
    mixinStandardHelpOptions = true,
    header = "Makes a report of a night, a month or a season.",
    description =
        "One HTML file that needs no network, or text, or a single plot as SVG or PNG. "
            + "Without --from, of the newest 24 hours.")
final class ReportVerb implements Callable<Integer> {

  private static final double PNG_SCALE = 2;

  enum Format {
    HTML,
    TEXT,
    SVG,
    PNG;

    /** The word on the command line. */
    @Override
    public String toString() {
      return name().toLowerCase(Locale.ROOT);
    }

    /** What a file's name asks for. */
    static Format ofFile(@Nullable Path file) {
      String name = file == null ? "" : String.valueOf(file.getFileName());
      String ending = name.substring(name.lastIndexOf('.') + 1).toLowerCase(Locale.ROOT);
      return switch (name.contains(".") ? ending : "html") {
        case "svg" -> SVG;
        case "png" -> PNG;
        case "txt" -> TEXT;
        case "html", "htm" -> HTML;
        default ->
            throw Stop.usage(
                file + ": the name must end in .html, .txt, .svg or .png, or --format name one");
      };
    }
  }

  /** Refuses other words in the program's own. */
  static final class FormatWord implements ITypeConverter<Format> {
    @Override
    public Format convert(String word) {
      for (Format format : Format.values()) {
        if (format.name().equalsIgnoreCase(word)) {
          return format;
        }
      }
      throw new TypeConversionException("\"" + word + "\", allowed: html, text, svg, png");
    }
  }

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private Output output;

  @Option(
      names = "--format",
      paramLabel = "FORMAT",
      converter = FormatWord.class,
      description = "${COMPLETION-CANDIDATES}; else by the file's ending, else html.")
  private @Nullable Format format;

  @Option(
      names = "--plot",
      paramLabel = "PLOT",
      description =
          "Of svg and png: discharge, leads, herd (default), energy, range, capacity, resistance,"
              + " cells, current, temperature, soc.")
  private @Nullable String plot;

  @Option(names = "--dark", description = "A plot for dark pages.")
  private boolean dark;

  @Parameters(
      arity = "0..1",
      paramLabel = "FILE",
      description = "Where to write; text goes to standard output without it.")
  private @Nullable Path target;

  @Override
  public Integer call() throws StorageFailure {
    PackConfig pack = log.pack();
    SystemTime time = new SystemTime();
    if (target != null) {
      FileCause.checkWritable(target);
    }
    try (LogFile file = log.openForReadingOfPack()) {
      long to = to(file, pack, time);
      OptionalLong named = span.fromMs(time, log.zone());
      // Before its first reading the log is not silent: there was none.
      long first = file.oldestMs(pack.plan().id()).orElse(to - 1);
      long from = Math.max(first, named.orElse(to - TimeUnit.DAYS.toMillis(1)));
      if (from >= to) {
        throw Stop.usage(
            "nothing to report between --from and --to; the log begins at "
                + SpokenTime.second(first, log.zone()));
      }
      Made made = ProgramVersion.made(log.zone());
      write(new ReportData(file, pack, from, to).gather(made));
      return LogOptions.answered(file);
    }
  }

  private long to(LogFile file, PackConfig pack, SystemTime time) throws StorageFailure {
    OptionalLong named = span.toMs(time, log.zone());
    if (named.isPresent()) {
      return named.getAsLong();
    }
    OptionalLong newest = file.newestMs(pack.plan().id());
    if (newest.isEmpty()) {
      throw new Stop(ExitCode.NO, "the log holds nothing of pack " + pack.plan().id());
    }
    return newest.getAsLong() + 1;
  }

  private void write(ReportInput input) {
    switch (format == null ? Format.ofFile(target) : format) {
      case HTML -> file(HtmlReport.of(input).getBytes(StandardCharsets.UTF_8), "report.html");
      case TEXT -> {
        if (target == null) {
          output.line(TextReport.of(input));
        } else {
          file(TextReport.of(input).getBytes(StandardCharsets.UTF_8), "");
        }
      }
      case SVG ->
          file(SvgWriter.file(scene(input), theme()).getBytes(StandardCharsets.UTF_8), "plot.svg");
      case PNG -> file(PngWriter.bytes(scene(input), theme(), PNG_SCALE), "plot.png");
    }
  }

  private Theme theme() {
    return dark ? Theme.DARK : Theme.LIGHT;
  }

  private Drawing scene(ReportInput input) {
    List<String> words = Worded.words(Plots.values());
    Plots which =
        Plots.ofWord(plot == null ? Plots.HERD.word() : plot)
            .orElseThrow(
                () -> Stop.usage("--plot \"" + plot + "\", allowed: " + String.join(", ", words)));
    return which
        .scene(input.plots().alone(), which.wide())
        .map(scene -> Headed.scene(scene, Titles.of(input)))
        .orElseThrow(
            () -> new Stop(ExitCode.NO, "the log holds nothing to draw for " + which.word()));
  }

  private void file(byte[] bytes, String name) {
    WholeFile.write(target == null ? Path.of(name) : target, bytes, output);
  }
}
