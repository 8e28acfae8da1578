using Custody.Server.Operating;

return await CommandLine.Run(args);
