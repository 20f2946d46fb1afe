using Xunit;

// One for each lane of Pester files, whose threads only wait; the number of processors has nothing to do with it.
[assembly: CollectionBehavior(MaxParallelThreads = 4)]
