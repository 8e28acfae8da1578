using Custody.Verifier;

Console.OutputEncoding = new System.Text.UTF8Encoding(false);
return CommandLine.Run(args, Console.Out, Console.Error, TimeProvider.System);
