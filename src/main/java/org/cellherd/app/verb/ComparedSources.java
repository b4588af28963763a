package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.discharge.LifeEnergy;
import org.cellherd.analysis.discharge.PackComparison;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.TestCurves;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.CsvLines;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/** Gathers the tests of logs and testers' files, those of one name as one pack. One use. */
final class ComparedSources {

  private static final byte[] LOG = "SQLite format 3\0".getBytes(StandardCharsets.US_ASCII);

  private final CompareOptions options;
  private final Map<String, Gathered> packs = new LinkedHashMap<>();

  ComparedSources(CompareOptions options) {
    this.options = options;
  }

  private static final class Gathered {
    private final boolean isDonor;
    private final List<TestedDischarge> tests = new ArrayList<>();
    private Optional<Finding> ageing = Optional.empty();

    Gathered(boolean isDonor) {
      this.isDonor = isDonor;
    }
  }

  /** Adds a source: {@code FILE} or {@code NAME=FILE}. */
  void add(String source, boolean isDonor) throws StorageFailure {
    int mark = source.indexOf('=');
    Path file = Path.of(source.substring(mark + 1));
    Optional<String> name = mark > 0 ? Optional.of(source.substring(0, mark)) : Optional.empty();
    try {
      if (isLog(file)) {
        log(file, () -> plans(file), name, isDonor, file.toString());
      } else {
        csv(file, name.orElse(file.getFileName().toString().replaceAll("\\.[^.]*$", "")), isDonor);
      }
    } catch (IOException unreadable) {
      throw FileCause.unreadable(file, unreadable);
    }
  }

  /** Adds a pack as a centre holds it. */
  void add(FetchedLog held) throws StorageFailure {
    log(held.log(), () -> plan(held.plan()).toList(), Optional.empty(), false, held.name());
  }

  private static boolean isLog(Path file) throws IOException {
    if (Files.isDirectory(file)) {
      throw Stop.usage(file + ": is a directory, a file is wanted");
    }
    try (InputStream in = Files.newInputStream(file)) {
      return Arrays.equals(in.readNBytes(LOG.length), LOG);
    }
  }

  private void csv(Path file, String name, boolean isDonor) throws IOException {
    TesterPack pack = options.tested(name);
    try (CsvLines lines = CsvSource.open(file)) {
      gathered(name, isDonor)
          .tests
          .addAll(TesterCsv.read(file.toString(), lines, options.columns(), pack));
    }
  }

  private void log(
      Path file,
      Supplier<List<PackConfig>> plans,
      Optional<String> name,
      boolean isDonor,
      String what)
      throws StorageFailure {
    boolean isAny = false;
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      for (PackConfig pack : plans.get()) {
        List<Finding> found =
            new LogAnalysis(log, pack)
                .findings(EnumSet.of(FindingName.CAPACITY, FindingName.AGEING));
        List<TestedDischarge> tests = TestCurves.of(log, pack, found);
        if (!tests.isEmpty()) {
          Gathered gathered = gathered(name.orElse(pack.plan().name()), isDonor);
          gathered.tests.addAll(tests);
          gathered.ageing =
              found.stream().filter(f -> f.name() == FindingName.AGEING).reduce((a, b) -> b);
          isAny = true;
        }
      }
      LogOptions.answered(log);
    }
    if (!isAny) {
      throw new Stop(ExitCode.NO, what + ": holds no capacity test from full to empty");
    }
  }

  private Gathered gathered(String name, boolean isDonor) {
    return packs.computeIfAbsent(name, n -> new Gathered(isDonor));
  }

  private List<PackConfig> plans(Path log) {
    Path beside =
        log.resolveSibling(log.getFileName().toString().replaceAll("\\.[^.]*$", "") + ".toml");
    List<Path> files =
        options.plans().isEmpty() && Files.exists(beside) ? List.of(beside) : options.plans();
    if (files.isEmpty()) {
      throw Stop.usage(
          log + ": which pack is it of? name the plan with --plan FILE; there is no " + beside);
    }
    return files.stream().flatMap(file -> plan(file)).toList();
  }

  private static Stream<PackConfig> plan(Path file) {
    return ConfigFiles.loadPlans(file).packs().stream();
  }

  /** All packs in the order in which they were named. */
  List<PackComparison.Pack> packs() {
    List<PackComparison.Pack> all = new ArrayList<>();
    packs.forEach((name, gathered) -> all.add(pack(name, gathered)));
    return all;
  }

  private PackComparison.Pack pack(String name, Gathered gathered) {
    List<TestedDischarge> tests =
        gathered.tests.stream()
            .map(t -> t.named(name))
            .sorted(Comparator.comparingLong(TestedDischarge::fromMs))
            .toList();
    TestedDischarge newest = tests.get(tests.size() - 1);
    return new PackComparison.Pack(
        name,
        gathered.isDonor,
        tests,
        gathered.ageing.flatMap(a -> LifeEnergy.of(a, newest)),
        options.price(name));
  }
}
